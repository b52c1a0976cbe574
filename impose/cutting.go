package impose

import (
	"fmt"
	"io"
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/contour"
	"quoin/impose/draw"
	"quoin/impose/ink"
)

// cuttingLine is how wide a contour is drawn: it shows where the cut runs and
// cuts nothing. Common practice, no source.
const cuttingLine = 100 * geometry.Micrometre

// cuttingLook is how the contour looks on a screen: magenta, which few labels
// are. It is never printed.
var cuttingLook = [4]float64{0, 1, 0, 0}

// addCutting draws the contours of the cut over the artworks, on a layer that
// is a processing step of ISO 19593-1, in an ink that takes no station. Blank
// stations are cut too. Where an artwork draws the same cut itself, its own
// stands alone: a knife or a laser that finds two would cut twice.
func (im *Imposition) addCutting() error {
	if !im.Job.Cutting {
		return nil
	}
	own := im.ownCuts()
	var path draw.Path
	for i, s := range im.Seen().Station {
		if art := im.Places[i]; art >= 0 && own[art] != "" {
			continue
		}
		cut := contour.Path(contour.Placed(im.OutlineOn(s), s))
		for _, move := range im.shifts(s) {
			path.Append(cut.Moved(move))
		}
	}
	if len(path.Verbs) == 0 {
		return nil
	}
	paint := draw.Solid(im.cuttingInk(own))
	paint.Overprint = true
	im.Frame.Items = append(im.Frame.Items, draw.Stroke{Layer: draw.Cutting, Path: path, Width: cuttingLine, Paint: paint})
	return nil
}

// ownCuts gives for each artwork the technical ink in which it draws the cut of
// its stations itself, "" where it doesn't.
func (im *Imposition) ownCuts() []string {
	inks := make([]string, len(im.Pages))
	for i, s := range im.Layout.Station {
		art := im.Places[i]
		if art < 0 || inks[art] != "" {
			continue
		}
		line, err := im.Pages[art].DieLine()
		if err != nil || len(line.Inks) != 1 || line.OffTrim(im.Pages[art].Size()) > sizeTolerance {
			continue
		}
		at := slices.IndexFunc(im.Inks.Inks, func(e ink.Entry) bool { return slices.Contains(e.Spelled, line.Inks[0]) })
		if at < 0 {
			continue
		}
		e := im.Inks.Inks[at]
		if e.Kind == ink.Technical && !e.Silenced && outline.Compare(im.OutlineOn(s), line.Outline).Within(sizeTolerance) {
			inks[art] = e.Name
			im.notes = append(im.notes, Warning{"own-cut", fmt.Sprintf("%s: its own die line in %s is the cut, and isn't drawn a second time", im.pageName(art), e.Name)})
		}
	}
	return inks
}

// cuttingInk gives the name of a technical ink: the one in which an artwork
// draws its own cut, or else a new one in the table where no artwork brings it.
// Where an artwork prints an ink of that name, the contour must not land on its
// plate.
func (im *Imposition) cuttingInk(own []string) string {
	for _, name := range own {
		if name != "" {
			return name
		}
	}
	name := "Cutting"
	e, known := im.Inks.Find(name)
	if known && e.Kind != ink.Technical {
		name = "Cutting contour"
		_, known = im.Inks.Find(name)
	}
	if !known {
		im.Inks.Inks = append(im.Inks.Inks, ink.Entry{Ink: ink.Ink{Name: name, Kind: ink.Technical, CMYK: cuttingLook}})
	}
	return name
}

// WriteCuttingDXF writes the contours of the cut as DXF R12 in
// millimetres; for the second surface, as seen through the film.
func (im *Imposition) WriteCuttingDXF(w io.Writer) error {
	return contour.WriteDXF(w, contour.FrameSheet(im.OutlineOn, im.Seen()))
}

// WriteCuttingSVG is WriteCuttingDXF as SVG.
func (im *Imposition) WriteCuttingSVG(w io.Writer) error {
	return contour.WriteSVG(w, contour.FrameSheet(im.OutlineOn, im.Seen()))
}
