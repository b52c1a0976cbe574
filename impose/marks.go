package impose

import (
	"path/filepath"
	"slices"
	"strings"

	"quoin/geometry"
	"quoin/impose/ink"
	"quoin/impose/job"
	"quoin/impose/mark"
	"quoin/impose/press"
)

// addMarks lays marks, targets and slug over the frame.
func (im *Imposition) addMarks() error {
	o := im.markOptions()
	im.settleEyeInk(o.Eye)
	if o.Eye != nil {
		o.Eye.Side = im.mirroredSide(o.Eye.Side)
	}
	if o.Targets != nil {
		o.Targets.Side = im.mirroredSide(o.Targets.Side)
	}
	marks, err := mark.Lay(im.Seen(), im.PrintingOrder(), o)
	if err != nil {
		return err
	}
	im.Frame.Items = append(im.Frame.Items, marks.Items...)
	im.Patches, im.track, im.eyes = marks.Patches, marks.Track, marks.Eyes
	for i := range im.Patches {
		im.Patches[i].Box, im.Patches[i].Side = im.mirrored(im.Patches[i].Box), im.mirroredSide(im.Patches[i].Side)
	}
	for _, w := range marks.Warnings {
		im.warn(w.Code, "%s", w.Text)
	}
	for _, n := range marks.Notes {
		im.notes = append(im.notes, Warning{n.Code, n.Text})
	}
	return nil
}

// markOptions gives the job's wishes in the words of package mark.
func (im *Imposition) markOptions() mark.Options {
	o := mark.Default()
	m, t := im.Job.Marks, im.Job.Targets
	if m.Register.On {
		o.Register.Size, o.Register.Line = m.Register.Size, m.Register.Line
	} else {
		o.Register = nil
	}
	if !m.Slit || !im.straight() {
		o.Slit = nil
	}
	o.Centre = m.Centre
	if m.Trim {
		o.Trim = mark.DefaultTrim()
	}
	o.LaneNumbers = m.Slug
	if m.Slug {
		o.Slug.Job, o.Slug.Lanes = im.Job.Name, im.laneNames()
	} else {
		o.Slug = nil
	}
	if t.On {
		o.Targets = targetOptions(t, o.Targets)
		o.Targets.OnWhite = o.Targets.OnWhite || seeThrough(im.Job.Material.Kind)
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
		opening := t.Aperture
		if opening == 0 {
			opening = 2 * geometry.Millimetre
		}
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

// settleEyeInk takes the darkest ink where the eye mark names one that the job
// does not print.
func (im *Imposition) settleEyeInk(eye *mark.Eye) {
	if eye == nil || slices.ContainsFunc(im.PrintingInks(), func(i ink.Ink) bool { return i.Name == eye.Ink }) {
		return
	}
	im.warn("eye-ink", "the eye mark is to be in %q, which this job does not print; it is drawn in the darkest ink instead", eye.Ink)
	eye.Ink = ""
}

// productOf names an artwork for people.
func productOf(a job.Artwork) string {
	if a.Product != "" {
		return a.Product
	}
	base := filepath.Base(a.File)
	return strings.TrimSuffix(base, filepath.Ext(base))
}

// targetParts tells the summary where each patch stands.
func (im *Imposition) targetParts() []TargetPart {
	parts := []TargetPart{}
	for _, p := range im.Patches {
		t := TargetPart{
			Number: p.Number, What: string(p.What), Inks: []TintPart{}, Side: string(p.Side), Lane: p.Lane,
			BoxMM: [4]float64{p.Box.Min.Across.MM(), p.Box.Min.Around.MM(), p.Box.Max.Across.MM(), p.Box.Max.Around.MM()},
			BoxPt: press.BoxPoints(p.Box, im.Layout.Repeat),
		}
		for _, tint := range p.Tints {
			t.Inks = append(t.Inks, TintPart{tint.Ink, 100 * tint.Amount})
		}
		parts = append(parts, t)
	}
	return parts
}
