package impose

import (
	"io"

	"quoin/geometry"
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
// stations are cut too.
func (im *Imposition) addCutting() error {
	if !im.Job.Cutting {
		return nil
	}
	var path draw.Path
	for _, s := range im.Seen().Station {
		cut := contour.Path(contour.Placed(im.OutlineOn(s), s))
		for _, move := range im.shifts(s) {
			path.Append(cut.Moved(move))
		}
	}
	paint := draw.Solid(im.cuttingInk())
	paint.Overprint = true
	im.Frame.Items = append(im.Frame.Items, draw.Stroke{Layer: draw.Cutting, Path: path, Width: cuttingLine, Paint: paint})
	return nil
}

// cuttingInk gives the name of a technical ink, and adds it to the table where
// no artwork brings it. Where an artwork prints an ink of that name, the contour
// must not land on its plate.
func (im *Imposition) cuttingInk() string {
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
