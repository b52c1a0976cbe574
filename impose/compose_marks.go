package impose

import (
	"slices"

	"quoin/geometry"
	"quoin/impose/ink"
	"quoin/impose/mark"
	"quoin/impose/summary"
)

// layMarks lays marks, targets and slug over the frame. Patches are given on the
// printed face, all else as it is seen.
func layMarks(p *Planned, seen *geometry.Layout, f face) (marks *mark.Marks, said remarks, err error) {
	o := marksWanted(p.Job)
	if !straightSlit(p.nested) {
		o.Slit = nil
	}
	if o.Slug != nil {
		o.Slug.Lanes = p.laneNames()
	}
	if o.Eye != nil {
		if !prints(p.PrintingInks(), o.Eye.Ink) {
			said.warn(codeEyeInk, "the eye mark is to be in %q, which this job does not print; it is drawn in the darkest ink instead", o.Eye.Ink)
			o.Eye.Ink = ""
		}
		o.Eye.Side = f.side(o.Eye.Side)
	}
	if o.Targets != nil {
		o.Targets.Side = f.side(o.Targets.Side)
	}
	if marks, err = mark.Lay(seen, p.PrintingOrder(), o); err != nil {
		return nil, said, err
	}
	if slices.ContainsFunc(marks.Patches, func(p mark.Patch) bool { return p.What == mark.Bare }) {
		said.note(codeTargetsOnWhite, "colour targets stand on white, as the labels do, and one patch shows the bare %s", p.Job.Material.Kind)
	}
	for i, patch := range marks.Patches {
		marks.Patches[i].Box, marks.Patches[i].Side = f.box(patch.Box), f.side(patch.Side)
	}
	for _, w := range marks.Warnings {
		said.warn(w.Code, "%s", w.Text)
	}
	for _, n := range marks.Notes {
		said.note(n.Code, "%s", n.Text)
	}
	return marks, said, nil
}

// prints reports whether an ink of the name is among those that print.
func prints(printing []ink.Ink, name string) bool {
	return slices.ContainsFunc(printing, func(i ink.Ink) bool { return i.Name == name })
}

// laidMarks returns the kinds of marks that the job asks for, and how many of
// each the frame carries.
func laidMarks(p *Planned, m *mark.Marks) []summary.Mark {
	o, l := marksWanted(p.Job), m.Laid
	list := []summary.Mark{}
	add := func(asked bool, what string, laid, of int) {
		if asked {
			list = append(list, summary.Mark{What: what, Laid: laid, Of: of})
		}
	}
	one := func(laid bool) int {
		if laid {
			return 1
		}
		return 0
	}
	eyes := 1
	if o.Eye != nil && o.Eye.PerRow {
		eyes = p.Layout.Around
	}
	add(o.Register != nil, "register", l.Registers, max(l.RegisterPlaces, 4))
	add(o.Eye != nil, "eye", len(m.Eyes), eyes)
	add(o.Slit != nil && l.SlitLines > 0, "slit", l.Slits, l.SlitLines)
	add(o.Centre, "centre", one(l.Centre), 1)
	add(o.Trim != nil, "trim", l.Trims, l.TrimCorners)
	add(o.LaneNumbers, "lane-number", one(l.Numbers)*p.Layout.Across, p.Layout.Across)
	if l.NumbersBeside {
		list[len(list)-1].Beside = true
	}
	add(o.Slug != nil, "slug", one(l.Slug), 1)
	return list
}
