package sheet

import (
	"fmt"

	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// mm keeps a measure and its unit on one line.
func mm(v float64) string { return say.Digits(v) + "\u00a0mm" }

func pair(a, b float64) string { return say.Digits(a) + "\u00a0×\u00a0" + mm(b) }

// marks says which marks and targets the frame carries, and which of those that
// were asked for it doesn't.
func marks(im *impose.Imposition) []string {
	var list, missing []string
	for _, m := range im.Marks {
		name, text := markWords(im, m)
		switch {
		case m.Laid == 0:
			missing = append(missing, name)
		case m.Laid < m.Of:
			list = append(list, fmt.Sprintf("%s: %d of %d, there is no room for the others", text, m.Laid, m.Of))
		default:
			list = append(list, text)
		}
	}
	if n := len(im.Patches); n > 0 {
		size := im.Patches[0].Box.Size()
		list = append(list, fmt.Sprintf("Colour targets: %s of %s", say.Count(n, "patch"), pair(size.Across.MM(), size.Around.MM())))
	} else if im.Job.Targets.On {
		missing = append(missing, "colour targets")
	}
	if len(missing) > 0 {
		list = append(list, "NOT on the frame, which has no room for them: "+say.List(missing))
	}
	if len(list) == 0 {
		list = append(list, "None")
	}
	return list
}

// markWords names a kind of mark, and says what it is.
func markWords(im *impose.Imposition, mark summary.Mark) (name, text string) {
	m, what := im.Job.Marks, mark.What
	switch what {
	case "eye":
		often := "once a frame"
		if m.Eye.Every == job.EveryRow {
			often = "at every row"
		}
		return "the eye mark", fmt.Sprintf("Eye mark %s (across × around), %s, at the %s, %s; its track of %s stays clear",
			pair(m.Eye.Size.Across.MM(), m.Eye.Size.Around.MM()), m.Eye.Ink, m.Eye.Side, often, max(m.Eye.Track, m.Eye.Size.Across))
	case "register":
		return "register crosses", fmt.Sprintf("Register crosses of %s in both margins, at both ends of the frame", m.Register.Size)
	case "slit":
		return "slit ticks", "Slit ticks in the middle of each gap, at the start of the frame"
	case "centre":
		return "the centre tick", "Tick on the centre of the web"
	case "trim":
		return "corner marks", "Corner marks at each label"
	case "lane-number":
		if mark.Beside {
			return "lane numbers", "A number for each lane in the gap beside it, with a triangle that points at the lane"
		}
		return "lane numbers", "A number at the start of each lane, before or behind its first label"
	case "slug":
		return "the slug line", "Slug line: job, frame, lanes and inks, each ink in itself"
	}
	return what, say.Title(what)
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
