package impose

import (
	"cmp"
	"slices"
	"strings"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/mark"
)

// marksWanted returns the job's wishes in the words of package mark, except what
// depends on the layout: which lanes can be slit, and what they carry.
func marksWanted(j *job.Job) mark.Selection {
	o := mark.Default()
	m, t := j.Marks, j.Targets
	if m.Register.On {
		o.Register.Size, o.Register.Line = m.Register.Size, m.Register.Line
	} else {
		o.Register = nil
	}
	if !m.Slit {
		o.Slit = nil
	}
	o.Centre = m.Centre
	if m.Trim {
		o.Trim = mark.DefaultTrim()
	}
	o.LaneNumbers = m.Slug
	if m.Slug {
		o.Slug.Job = j.Name
	} else {
		o.Slug = nil
	}
	if t.On {
		o.Targets = targetOptions(t, o.Targets)
		o.Targets.OnWhite = o.Targets.OnWhite || seeThrough(j.Material.Kind)
	} else {
		o.Targets = nil
	}
	if m.Eye != nil {
		o.Eye = eyeOptions(m.Eye)
	}
	return o
}

func targetOptions(t job.Targets, usual *mark.Targets) *mark.Targets {
	out := &mark.Targets{Patch: t.Patch, Overprints: t.Overprints, Side: mark.Side(t.Side), Once: !t.Along}
	for _, s := range t.Tints {
		out.Tints = append(out.Tints, s.Float())
	}
	if t.Grey {
		out.Greys = usual.Greys
	}
	out.OnWhite, out.ThreeInks = t.OnWhite, t.ThreeInks
	if t.Aperture > 0 {
		out.Patch = mark.Measurable(t.Patch, t.Aperture)
	}
	if t.Lanes {
		// Without an instrument's opening 2 mm are taken: common practice, no source.
		opening := cmp.Or(t.Aperture, 2*geometry.Millimetre)
		out.LanePatch = mark.Measurable(geometry.Size{}, opening).Across
	}
	return out
}

// seeThrough reports whether the word for a material says that colours on it are
// none without white beneath them.
func seeThrough(kind string) bool {
	kind = strings.ToLower(kind)
	return slices.ContainsFunc([]string{"clear", "transparent", "metallic", "metallised", "metallized", "foil"}, func(w string) bool {
		return strings.Contains(kind, w)
	})
}

func eyeOptions(e *job.EyeMark) *mark.Eye {
	eye := &mark.Eye{Size: e.Size, Ink: e.Ink, Side: mark.Side(e.Side), Track: max(e.Track, e.Size.Across), PerRow: e.Every == job.EveryRow}
	if e.Offset > 0 {
		offset := e.Offset
		eye.Offset = &offset
	}
	return eye
}
