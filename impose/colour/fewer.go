package colour

import (
	"fmt"
	"strings"

	"quoin/impose/job"
	"quoin/impose/say"
)

// Fewer looks for each spot's nearest build of the process inks, and says what
// a station less would save on this run. It only advises: the customer has to
// approve the look first.
func Fewer(r *PressRun, rep *Report, aims *Aims, press *job.Press) []FewerInks {
	out := []FewerInks{}
	if aims.Profile == nil || aims.Profile.Space != "CMYK" || !r.hasProcess() {
		return out
	}
	for _, ink := range rep.Inks {
		if ink.Kind != "spot" {
			continue
		}
		look, known := aims.solid(ink.Name)
		if !known && ink.Solid != nil { // what it printed is what the customer gets
			look, known = Aim{Lab: ink.Solid.Lab, Source: "as measured"}, true
		}
		if !known {
			continue
		}
		b, err := aims.Profile.Nearest(look.Lab, rep.Tolerances.InkLimit)
		if err != nil {
			continue
		}
		f := FewerInks{Ink: ink.Name, CMYK: b.CMYK, Lab: b.Lab, DE00: round(b.DE00, 2), Near: b.DE00 <= rep.Tolerances.NearestBuild}
		f.save(r, press, 1)
		f.Text = f.words(look.Source)
		out = append(out, f)
	}
	return out
}

// hasProcess reports whether all four process inks print in the run: a build
// that needs a new station saves none.
func (r *PressRun) hasProcess() bool {
	n := 0
	for _, i := range r.Inks {
		if i.Kind == "process" {
			n++
		}
	}
	return n == 4
}

// save reckons what the run saves without some stations: the speed of so many
// inks less, their set-up, and both in money. A press that is not known saves nothing
// that can be told.
func (f *Saving) save(r *PressRun, press *job.Press, stations int) {
	f.Inks, f.SpeedM = r.Run.PrintingInks-stations, r.Run.SpeedMPerMin
	if press == nil || r.Run.SpeedMPerMin <= 0 {
		return
	}
	speed, err := press.Speed(f.Inks)
	if err != nil {
		return
	}
	f.SpeedM = speed.Metres()
	web := float64(stations) * press.InkSetup.Metres() // that the stations' make-ready takes no more
	gross := r.Run.WebGrossM
	f.SavedMin = round(gross/r.Run.SpeedMPerMin-(gross-web)/f.SpeedM+float64(stations)*press.InkSetupMin, 2)
	if p := press.Prices; p != nil {
		f.Currency = p.Currency
		f.Saved = round(f.SavedMin/60*p.PressPerHour+web*r.Layout.WebMM/1000*p.WebPerM2, 2)
	}
}

func (f *FewerInks) words(source string) string {
	var mix []string
	for i, v := range f.CMYK {
		if v > 0 {
			mix = append(mix, fmt.Sprintf("%s %s", "CMYK"[i:i+1], say.Plain(v, 2)))
		}
	}
	if len(mix) == 0 {
		mix = []string{"bare paper"}
	}
	near := "not near enough to be advised"
	if f.Near {
		near = "near"
	}
	return fmt.Sprintf("%s as %s: dE00 %s predicted from its colour (%s), %s; %s. %s", f.Ink, strings.Join(mix, " "), say.Fixed(f.DE00, 1), source, near, f.Saving.words(), approval)
}

// approval is the caution of every advice to drop an ink.
const approval = "Only with the customer's approval of a proof"

func (s *Saving) words() string {
	text := fmt.Sprintf("%d inks save no time that is known", s.Inks)
	if s.SavedMin > 0 {
		text = fmt.Sprintf("%d inks run at %s m/min and save %s min", s.Inks, say.Plain(s.SpeedM, 2), say.Plain(s.SavedMin, 2))
	}
	if s.Saved > 0 {
		text += fmt.Sprintf(" and %s %s", say.Plain(s.Saved, 2), s.Currency)
	}
	return text
}

// Together reckons what dropping all spots whose builds are near would save: a
// press whose speed falls in steps may gain only then. Nil for less than two.
func Together(r *PressRun, rep *Report, press *job.Press) *FewerTogether {
	t := &FewerTogether{}
	for _, f := range rep.Fewer {
		if f.Near {
			t.Spots = append(t.Spots, f.Ink)
		}
	}
	if len(t.Spots) < 2 {
		return nil
	}
	t.save(r, press, len(t.Spots))
	t.Text = fmt.Sprintf("%s all as builds: %s. %s", strings.Join(t.Spots, ", "), t.words(), approval)
	return t
}
