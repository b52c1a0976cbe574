package impose

import (
	"fmt"
	"os"

	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/press"
)

// takeIntent chooses the printing condition: the job's, or else that of the
// first artwork that has one, with which the others must agree unless the job
// only wants to be warned.
func (im *Imposition) takeIntent() error {
	first := im.firstIntent()
	if im.Job.Output.Given() {
		return im.jobIntent(first)
	}
	if first < 0 {
		return nil
	}
	for i, p := range im.Pages {
		if p.OutputIntent == nil || sameIntent(p.OutputIntent, im.Pages[first].OutputIntent) {
			continue
		}
		conflict := &intentConflict{
			im.Job.Artworks[first].File, conditionName(im.Pages[first].OutputIntent),
			im.Job.Artworks[i].File, conditionName(p.OutputIntent),
		}
		if im.Job.Output.Conflict != job.Warn {
			return &artwork.Error{Path: p.File.Path, Page: p.Number, Err: conflict}
		}
		im.warn("intents-differ", "%v; the first is used", conflict)
	}
	im.intent = press.Intent{From: im.Pages[first]}
	return nil
}

// firstIntent gives the first artwork with an output intent, or -1.
func (im *Imposition) firstIntent() int {
	for i, p := range im.Pages {
		if p.OutputIntent != nil {
			return i
		}
	}
	return -1
}

// jobIntent takes the job's printing condition.
func (im *Imposition) jobIntent(first int) error {
	o := im.Job.Output
	im.intent = press.Intent{Condition: o.Condition, Info: o.Info, Registry: o.Registry}
	if first >= 0 && im.Pages[first].OutputIntent.Condition != o.Condition {
		im.notes = append(im.notes, Warning{"intent-overruled", fmt.Sprintf("%s is made for %s; the job says %q",
			im.Job.Artworks[first].File, conditionName(im.Pages[first].OutputIntent), o.Condition)})
	}
	if o.Profile == "" {
		return nil
	}
	profile, err := os.ReadFile(im.Job.Path(o.Profile))
	if err != nil {
		return fmt.Errorf("the output intent's profile: %w", err)
	}
	im.intent.Profile = profile
	return nil
}

// sameIntent tells whether two output intents mean one printing condition: by
// their profiles if both have one, else by the condition's name.
func sameIntent(a, b *artwork.OutputIntent) bool {
	if a.SHA256 != "" && b.SHA256 != "" {
		return a.SHA256 == b.SHA256
	}
	return a.Condition == b.Condition
}

// conditionName names a printing condition for people.
func conditionName(o *artwork.OutputIntent) string {
	name := fmt.Sprintf("%q", o.Condition)
	if o.Condition == "" && o.Info != "" {
		name = fmt.Sprintf("%q", o.Info)
	}
	if o.SHA256 != "" {
		name += fmt.Sprintf(" (profile %.8s)", o.SHA256)
	}
	return name
}

// intentConflict says that two artworks are made for two printing conditions.
type intentConflict struct{ first, firstName, other, otherName string }

func (e *intentConflict) Error() string {
	return fmt.Sprintf("the output intents disagree: %s is made for %s, %s for %s", e.first, e.firstName, e.other, e.otherName)
}

func (e *intentConflict) Hint() string {
	return "say the printing condition in the job's output-intent, or let it pass with conflict: warn"
}
