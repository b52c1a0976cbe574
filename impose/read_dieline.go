package impose

import (
	"errors"
	"fmt"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/artwork"
	"quoin/impose/say"
)

// drawnCuts returns the die lines of the artworks, for comparison with dies.
func drawnCuts(in *Sources) []geometry.DrawnCut {
	var list []geometry.DrawnCut
	for i, p := range in.Pages {
		line, err := p.DieLine()
		if err != nil {
			continue // none, or none that is clear, of which a finding tells
		}
		cut := geometry.DrawnCut{Name: in.Job.Artworks[i].File, Size: line.Size(), Radius: geometry.AnyRadius, Area: line.Outline.Area()}
		if r, ok := line.Outline.CornerRadius(geometry.DieTolerance); ok {
			cut.Radius = r
		}
		list = append(list, cut)
	}
	return list
}

// drawnOutline returns the cut of a label of the size that all artworks draw, its
// box at the origin.
func drawnOutline(in *Sources, label geometry.Size) (cut outline.Outline, said remarks, err error) {
	var first *artwork.DieLine
	for i, p := range in.Pages {
		fail := func(err error, way string) (outline.Outline, remarks, error) {
			return outline.Outline{}, said, &say.Refusal{Kind: say.BadFile, Text: p.Name(), Err: err, Way: way}
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
				said.note(codeDieLineHoles, "%s: %s too, as holes", pageName(in.Job.Artworks[i], p),
					say.CountOf(n, "contour inside the label's edge is cut", "contours inside the label's edge are cut"))
			}
		} else if m := outline.Compare(first.Outline, line.Outline); !m.Within(sizeTolerance) {
			corner := first.Outline.Bounds().Min
			return fail(fmt.Errorf("its die line is not that of the first artwork: it differs by %s mm, %s mm across and %s mm around from its leading left corner",
				say.Fixed(m.Deviation.MM(), 2), say.Fixed((m.At.Across-corner.Across).MM(), 2), say.Fixed((m.At.Around-corner.Around).MM(), 2)), "artworks that share a frame share one cut")
		}
	}
	return first.Outline.At(geometry.Position{}), said, nil
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
