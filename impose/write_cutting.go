package impose

import (
	"io"

	"quoin/impose/contour"
)

// WriteCuttingDXF writes the contours of the cut as DXF R12 in
// millimetres; for the second surface, as seen through the film.
func (im *Imposition) WriteCuttingDXF(w io.Writer) error {
	return contour.WriteDXF(w, contour.FrameSheet(im.CutOn, im.AsSeen))
}

// WriteCuttingSVG is WriteCuttingDXF as SVG.
func (im *Imposition) WriteCuttingSVG(w io.Writer) error {
	return contour.WriteSVG(w, contour.FrameSheet(im.CutOn, im.AsSeen))
}
