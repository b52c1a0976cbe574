package impose

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"slices"

	"quoin/impose/artwork"
	"quoin/impose/conform"
	"quoin/impose/job"
	"quoin/impose/press"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// The output intent: which one a frame has, what of it stands in the way of
// PDF/X-4, and what the summary says of it.

// chooseIntent chooses the printing condition: the job's, or else that of the
// first artwork that has one, with which the others must agree unless the job
// only wants to be warned.
func chooseIntent(j *job.Job, pages []*artwork.Page) (in press.Intent, said remarks, err error) {
	first := slices.IndexFunc(pages, func(p *artwork.Page) bool { return p.OutputIntent != nil })
	if j.Output.Given() {
		if o := j.Output; first >= 0 && pages[first].OutputIntent.Condition != o.Condition {
			said.note(codeIntentOverruled, "%s is made for %s; the job says %q",
				j.Artworks[first].File, conditionName(pages[first].OutputIntent), o.Condition)
		}
		in, err = jobIntent(j)
		return in, said, err
	}
	if first < 0 {
		return in, said, nil
	}
	for i, p := range pages {
		if p.OutputIntent == nil || sameIntent(p.OutputIntent, pages[first].OutputIntent) {
			continue
		}
		conflict := say.Refuse(say.Artwork, "say the printing condition in the job's output-intent, or let it pass with conflict: warn",
			"the output intents disagree: %s is made for %s, %s for %s",
			j.Artworks[first].File, conditionName(pages[first].OutputIntent), j.Artworks[i].File, conditionName(p.OutputIntent))
		if j.Output.Conflict != job.Warn {
			return in, said, &artwork.Error{Path: p.File.Path, Page: p.Number, Err: conflict, With: pages[first].File.Path}
		}
		said.warn(codeIntentsDiffer, "%v; the first is used", conflict)
	}
	return press.Intent{From: pages[first]}, said, nil
}

// jobIntent returns the job's printing condition.
func jobIntent(j *job.Job) (press.Intent, error) {
	o := j.Output
	in := press.Intent{Condition: o.Condition, Info: o.Info, Registry: o.Registry}
	if o.Profile == "" {
		return in, nil
	}
	profile, err := os.ReadFile(j.Lies(j.Path(o.Profile)))
	if err != nil {
		return in, fmt.Errorf("the output intent's profile: %w", err)
	}
	in.Profile = profile
	return in, nil
}

// intentSpace returns the space of the output intent's profile, and what is wrong
// with the intent.
func intentSpace(in press.Intent) (string, []conform.Breach) {
	if in.From != nil {
		return conform.Condition(in.From.Doc, in.From.OutputIntent.Dict)
	}
	lacks := func(text string) []conform.Breach { return []conform.Breach{{Rule: conform.Intent, Text: text}} }
	switch {
	case in.Condition == "" && in.Profile == nil:
		return "", lacks("there is no output intent")
	case in.Profile == nil:
		return "", lacks("the job's output intent has no profile")
	}
	space, fault := conform.Profile(in.Profile)
	if fault != "" {
		return space, lacks(fault)
	}
	if in.Condition == "" {
		return space, lacks("the job's output intent doesn't name its condition")
	}
	return space, nil
}

// intentSummary says it for the summary; artwork is the number of the one that it
// is taken from, if any.
func intentSummary(in press.Intent, artwork int) *summary.Intent {
	switch {
	case in.From != nil:
		return &summary.Intent{Artwork: artwork}
	case in.Condition == "" && in.Profile == nil:
		return nil
	}
	part := &summary.Intent{Condition: in.Condition}
	if in.Profile != nil {
		sum := sha256.Sum256(in.Profile)
		part.Profile = hex.EncodeToString(sum[:])
	}
	return part
}

// sameIntent reports whether two output intents mean one printing condition: by
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
