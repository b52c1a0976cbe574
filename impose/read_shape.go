package impose

import (
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/say"
)

// edgeReach is how far a die line's box may be from the label's and still be
// meant for the label's edge: the usual bleed, and a tenth of a side, so that a
// hang hole or a window of a small label is not taken for its edge. Nearer
// lines decide or stop the run; others are cuts of some other kind, of which
// the artwork's own findings tell. Common practice, no source.
const (
	edgeReach      = 3 * geometry.Millimetre
	edgeReachShare = 10
)

// edgeLine returns the die line that an artwork draws along its label's edge, as
// it lies on the label, whose leading left corner is the origin; false where it
// draws none, none that is clear, or one that only the job's calling its ink
// technical speaks for.
func edgeLine(j *job.Job, art int, p *artwork.Page) (outline.Outline, *artwork.DieLine, bool) {
	line, err := p.DieLine()
	if err != nil || !line.Known() {
		return outline.Outline{}, nil, false
	}
	page, label := p.Size(), labelOn(j, art, p)
	cut := line.Outline
	if !p.Boxes.Given.Trim { // the label is taken from the middle of its page
		cut = cut.Moved(geometry.Size{Across: (label.Across - page.Across) / 2, Around: (label.Around - page.Around) / 2})
	}
	box := cut.Bounds()
	reach := func(side geometry.Length) geometry.Length { return min(edgeReach, side/edgeReachShare) }
	within := func(a, b, side geometry.Length) bool { return max(a-b, b-a) <= max(reach(side), geometry.DieTolerance) }
	return cut, line, within(box.Min.Across, 0, label.Across) && within(box.Max.Across, label.Across, label.Across) &&
		within(box.Min.Around, 0, label.Around) && within(box.Max.Around, label.Around, label.Around)
}

// labelOn returns the size of an artwork's label: what the job says, or else its
// trim.
func labelOn(j *job.Job, art int, p *artwork.Page) geometry.Size {
	if size := job.LabelOf(j, art); size != (geometry.Size{}) {
		return size
	}
	return p.Size()
}

// shapeByDieLine returns the job with the shape of its artworks' own die line,
// where the job says none: corners with their radius, a circle, or the line
// itself. What the job says stands, and is held against the lines later.
func shapeByDieLine(j *job.Job, pages []*artwork.Page) (*job.Job, remarks) {
	var said remarks
	if j.IgnoreDieLine || j.Outline != "" || j.Radius != nil || !j.Shape.Rectangular() {
		return j, said
	}
	for i, p := range pages {
		cut, line, edge := edgeLine(j, i, p)
		size := labelOn(j, i, p)
		if !edge {
			continue
		}
		with, shape, box := *j, "", cut.Bounds().Size()
		r, round := cut.CornerRadius(geometry.DieTolerance)
		circle := round && near(r, box.Across/2) && near(r, box.Around/2)
		r = min(r, size.Across/2, size.Around/2) // a line that is off the trim may be larger
		switch {
		case round && !circle:
			with.Shape, with.Radius, with.RadiusDrawn = geometry.ShapeRectangle, &r, true
			shape = "a rectangle with sharp corners"
			if r > 0 {
				shape = "a rectangle with corners of " + r.String()
			}
		case j.Shape != "" || job.LabelsDiffer(j):
			return j, said // a rectangle is said, or is all that may be
		case circle && near(size.Across, size.Around):
			with.Shape, shape = geometry.ShapeCircle, "a circle"
		case !onBox(cut, size):
			continue // no shape of the label's size, which it is held against later
		default:
			with.Shape, with.Outline, shape = geometry.ShapeOutline, job.ArtworkOutline, "an outline of its own"
		}
		said.note(codeShapeOfArtwork, "the label's shape is that of the die line (%s) of %s: %s", line.By(), pageName(j.Artworks[i], p), shape)
		return &with, said
	}
	return j, said
}

// onBox reports whether a line touches the four sides of a label of the size.
func onBox(o outline.Outline, size geometry.Size) bool {
	b := o.Bounds()
	return near(b.Min.Across, 0) && near(b.Min.Around, 0) && near(b.Max.Across, size.Across) && near(b.Max.Around, size.Around)
}

// holdDieLine holds what is cut on an artwork's label against its own die line
// along the label's edge. A line that differs is a refusal, or a warning where
// the job ignores die lines; it reports whether one differs.
func holdDieLine(in *Sources, art int, cut outline.Outline, said *remarks) (differs bool, err error) {
	p := in.Pages[art]
	drawn, line, edge := edgeLine(in.Job, art, p)
	if !edge {
		return false, nil
	}
	cut = cut.At(geometry.Position{})
	m := outline.CompareInPlace(cut, drawn)
	if m.Within(geometry.DieTolerance) {
		return false, nil
	}
	why := say.Refuse(say.BadFile, "correct the artwork, its TrimBox, or what is said of label, shape, radius, outline or die; "+
		"or say ignore-die-line, and the shape, to cut otherwise than the artwork draws",
		"%s: its own die line (%s) of %s, %s mm2, is not what is cut, %s, %s mm2: they differ by %s mm, %s mm across and %s mm around from the label's leading left corner",
		p.Name(), line.By(), drawnSize(drawn), say.Fixed(drawn.Area(), 1), drawnSize(cut), say.Fixed(cut.Area(), 1), say.Fixed(m.Deviation.MM(), 2), say.Fixed(m.At.Across.MM(), 2), say.Fixed(m.At.Around.MM(), 2))
	switch {
	case !in.Job.IgnoreDieLine:
		return true, why
	case in.Job.Tool() == nil: // whose own comparison warns of it
		said.warn(codeDieLineIgnored, "%s", why.Text)
	}
	return true, nil
}

// withoutFindings leaves out that the die lines of some artworks aren't their
// trims: that they aren't what is cut says it, and once will do.
func withoutFindings(warnings say.Notes, in *Sources, told []int) say.Notes {
	var once []string
	for _, art := range told {
		for _, f := range in.Pages[art].Findings {
			if f.Code == artwork.DieLineDiffers {
				once = append(once, findingOn(in.Job.Artworks[art], in.Pages[art], f))
			}
		}
	}
	return slices.DeleteFunc(slices.Clone(warnings), func(n say.Note) bool {
		return n.Code == artwork.DieLineDiffers && slices.Contains(once, n.Text)
	})
}

func drawnSize(o outline.Outline) geometry.Size {
	whole := func(l geometry.Length) geometry.Length {
		return (l + geometry.Micrometre/2) / geometry.Micrometre * geometry.Micrometre
	}
	s := o.Bounds().Size()
	return geometry.Size{Across: whole(s.Across), Around: whole(s.Around)}
}
