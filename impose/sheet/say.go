package sheet

import (
	"fmt"

	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/say"
)

// mm keeps a measure and its unit on one line.
func mm(v float64) string { return say.Digits(v) + "\u00a0mm" }

func pair(a, b float64) string { return say.Digits(a) + "\u00a0×\u00a0" + mm(b) }

// marks says which marks and targets the frame carries.
func marks(im *impose.Imposition) []string {
	m, t := im.Job.Marks, im.Job.Targets
	var list []string
	add := func(on bool, text string, args ...any) {
		if on {
			list = append(list, fmt.Sprintf(text, args...))
		}
	}
	if e := m.Eye; e != nil {
		often := "once a frame"
		if e.Every == job.EveryRow {
			often = "at every row"
		}
		list = append(list, fmt.Sprintf("Eye mark %s (across × around), %s, at the %s, %s; its track of %s stays clear",
			pair(e.Size.Across.MM(), e.Size.Around.MM()), e.Ink, e.Side, often, max(e.Track, e.Size.Across)))
	}
	add(m.Register.On, "Register crosses of %s in both margins, at both ends of the frame", m.Register.Size)
	add(m.Slit, "Slit ticks in the middle of each gap, at the start of the frame")
	add(m.Centre, "Tick on the centre of the web")
	add(m.Trim, "Corner marks at each label")
	add(m.Slug, "Slug line: job, frame, lanes and inks, each ink in itself")
	add(len(im.Patches) > 0, "Colour targets: %d patches of %s", len(im.Patches), pair(t.Patch.Across.MM(), t.Patch.Around.MM()))
	if len(list) == 0 {
		list = append(list, "None")
	}
	return list
}

// cautions are lines for people at the machines: common practice, no source,
// for the site to word as it needs. Machines: the fields of ISO 12643-1:2023 and
// EN 1010-1 and -2, by their scopes.
func (c *Content) cautions() []string {
	list := []string{
		"Set-up and jogging at reduced speed with guards closed.",
		"Stop before reaching into a nip.",
		"Dies are sharp: lift and store them guarded.",
		"UV and LED lamps: no bypass of shutters, ozone extraction on.",
		"Compare the first good frame with the approved proof before the run: content, register, cut, winding.",
		// Regulation (EU) No 1169/2011 article 13: not hidden, obscured or interrupted.
		"Mandatory text stays whole and legible: no mark, varnish edge or cut over it.",
	}
	if len(c.Artworks) > 1 {
		list = append(list, "Several products on one web: check each lane's product against its letter before slitting, and mark every roll with its lane.")
	}
	if c.Drug {
		list = append(list, "DRUG LABEL: one product on this web (21 CFR 211.122(f) restricts gang-printed labeling). Line clearance before and after; count and reconcile. The quality unit decides.")
	}
	return list
}
