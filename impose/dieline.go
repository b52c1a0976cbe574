package impose

import (
	"errors"
	"fmt"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/artwork"
)

// drawnCuts gives the die lines of the artworks, for comparison with dies.
func (im *Imposition) drawnCuts() []geometry.DrawnCut {
	var list []geometry.DrawnCut
	for i, p := range im.Pages {
		line, err := p.DieLine()
		if err != nil {
			continue // none, or none that is clear, of which a finding tells
		}
		cut := geometry.DrawnCut{Name: im.Job.Artworks[i].File, Size: line.Size(), Radius: geometry.AnyRadius, Area: line.Outline.Area()}
		if r, ok := line.Outline.CornerRadius(geometry.DieTolerance); ok {
			cut.Radius = r
		}
		list = append(list, cut)
	}
	return list
}

// drawnOutline gives the cut of a label of the size that all artworks draw, its
// box at the origin.
func (im *Imposition) drawnOutline(label geometry.Size) (outline.Outline, error) {
	var first *artwork.DieLine
	for i, p := range im.Pages {
		fail := func(err error, way string) (outline.Outline, error) {
			return outline.Outline{}, &OutlineError{p.Name(), err, way}
		}
		line, err := p.DieLine()
		switch {
		case errors.Is(err, artwork.ErrNoDieLine):
			return fail(err, "draw it on a layer of the processing step Structural/Cutting or in a spot named Cutting, or say the shape: --shape, --radius or a file behind --outline")
		case err != nil:
			return fail(err, "")
		case p.Boxes.Given.Trim && line.OffTrim(p.Size()) > sizeTolerance:
			return fail(fmt.Errorf("its die line of %s doesn't lie on its trim of %s", line.Size(), p.Size()), "correct the TrimBox or the die line")
		}
		if size := line.Size(); !near(size.Across, label.Across) || !near(size.Around, label.Around) {
			return fail(fmt.Errorf("its die line of %s is not the label of %s", size, label), "correct the die line, or the label size")
		}
		if first == nil {
			first = line
			if n := line.Inner; n > 0 {
				im.notes = append(im.notes, Warning{"die-line-holes", fmt.Sprintf("%s: %s inside the label's edge cut too, as holes", im.pageName(i), plural(n, "contour"))})
			}
		} else if m := outline.Compare(first.Outline, line.Outline); !m.Within(sizeTolerance) {
			corner := first.Outline.Bounds().Min
			return fail(fmt.Errorf("its die line is not that of the first artwork: it differs by %.2f mm, %.2f mm across and %.2f mm around from its leading left corner",
				m.Deviation.MM(), (m.At.Across-corner.Across).MM(), (m.At.Around-corner.Around).MM()), "artworks that share a frame share one cut")
		}
	}
	return first.Outline.At(geometry.Position{}), nil
}

// shapeWish lets a die line stand for the shape in a wish: a rectangle with its
// radius suits the dies of that radius; any other shape suits every outlined die
// of the size, and a difference of area is told of.
func shapeWish(w *geometry.Wish, o outline.Outline) {
	w.Area = o.Area()
	w.Outline = ""
	if r, ok := o.CornerRadius(geometry.DieTolerance); ok {
		w.Shape, w.Radius = geometry.ShapeRectangle, r
		if size := o.Bounds().Size(); near(2*r, size.Across) && near(2*r, size.Around) {
			w.Shape = geometry.ShapeCircle
		}
	}
}

// wish is what the job wants of a die for a label of the size, with what the
// artworks' die lines say.
func (im *Imposition) wish(label geometry.Size) (geometry.Wish, error) {
	w, err := im.Job.Wish(label, len(im.PrintingInks()))
	if err != nil {
		return w, err
	}
	w.Drawn = im.drawnCuts()
	if im.Job.Shape != geometry.ShapeOutline {
		return w, nil
	}
	o, err := im.askedOutline(label)
	if err != nil {
		return w, err
	}
	shapeWish(&w, o)
	w.Match = MatchDies(im.Job, o)
	return w, nil
}
