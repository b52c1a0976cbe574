package impose

import (
	"fmt"
	"io"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/contour"
	"quoin/impose/job"
)

// dieCuts reads the outlines of a die library, each once.
type dieCuts struct {
	job   *job.Job
	known map[string]outline.Outline // by the die's number; empty for what can't be read
}

// of returns the line that a die cuts, as it stands on the web, its box at the
// origin; empty where its drawing can't be read.
func (c *dieCuts) of(d *geometry.Die) outline.Outline {
	o, seen := c.known[d.Number]
	if !seen {
		if read, err := shaped(c.job, d.Shape, d.Size, d.Radius, c.job.Dies.Path(d.Outline)); err == nil {
			o = read.At(geometry.Position{})
		}
		c.known[d.Number] = o
	}
	return o
}

// MatchDies returns what compares the dies of the job with the outline of an
// upright label, by their lines; nil where there is no outline, or no die.
func MatchDies(j *job.Job, label outline.Outline) geometry.Matcher {
	if label.Empty() || j.Dies == nil {
		return nil
	}
	cuts := &dieCuts{j, map[string]outline.Outline{}}
	turned := map[geometry.Turn]outline.Outline{}
	return func(d *geometry.Die, t geometry.Turn) (geometry.CutMatch, bool) {
		cut := cuts.of(d)
		if cut.Empty() {
			return geometry.CutMatch{}, false
		}
		if _, ok := turned[t]; !ok {
			turned[t] = label.Turned(t).At(geometry.Position{})
		}
		m := outline.Compare(turned[t], cut)
		return geometry.CutMatch{Off: m.Deviation, At: upright(m.At, turned[t].Bounds().Size(), t)}, true
	}
}

// upright returns where a place of a turned label of the size is on the upright
// one.
func upright(p geometry.Position, size geometry.Size, t geometry.Turn) geometry.Position {
	for range t % 4 { // a quarter turn clockwise each, as the label was turned the other way
		p = geometry.Position{Across: size.Around - p.Around, Around: p.Across}
		size = geometry.Size{Across: size.Around, Around: size.Across}
	}
	return p
}

// borrowShape lets a die with a shape of its own say the label's where the job
// says none: naming the die is enough.
func borrowShape(j *job.Job, w *geometry.Wish, d *geometry.Die) (said remarks) {
	if j.Shape != geometry.ShapeRectangle && j.Shape != "" || j.Outline != "" || j.Radius != nil || d.Shape == geometry.ShapeRectangle || d.Shape == "" {
		return said
	}
	w.Shape, w.Outline = d.Shape, d.Outline
	said.note(codeShapeOfDie, "the label's shape is that of die %s: %s", d.Number, d.Shape)
	return said
}

// DrawDifference draws where the line of a die leaves an upright label's, the
// label turned as it comes closest to the die.
func DrawDifference(w io.Writer, j *job.Job, label outline.Outline, number string, t geometry.Turn) error {
	d := j.Dies.Find(number)
	if d == nil {
		return fmt.Errorf("the library has no die %s", number)
	}
	cuts := &dieCuts{j, map[string]outline.Outline{}}
	cut := cuts.of(d)
	if cut.Empty() {
		return fmt.Errorf("the outline of die %s can't be read", number)
	}
	turned := label.Turned(t).At(geometry.Position{})
	m := outline.Compare(turned, cut)
	on := turned.Bounds().Size()
	off := cut.Bounds().Size()
	cut = cut.Moved(geometry.Size{Across: (on.Across - off.Across) / 2, Around: (on.Around - off.Around) / 2})
	return contour.WriteDifference(w, contour.Difference{Label: turned, Die: cut, At: m.At, Off: m.Deviation, Names: [2]string{"the label", "die " + number}})
}
