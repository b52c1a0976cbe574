package impose

import (
	"context"
	"io"

	"quoin/geometry"
	"quoin/impose/contour"
	"quoin/impose/draw"
	"quoin/impose/press"
)

// WritePDF writes the frame as the press-ready PDF: one page, to be printed as
// often as the summary says. The same input gives the same bytes.
func (im *Imposition) WritePDF(ctx context.Context, w io.Writer) error {
	return im.writePage(ctx, w, im.Frame)
}

// WriteLabel writes one artwork of the job as the press gets it: its trim with
// the job's bleed around, upright, on a page of its own.
func (im *Imposition) WriteLabel(ctx context.Context, w io.Writer, artwork int) error {
	bleed := im.Layout.Bleed
	whole := geometry.BoxAt(geometry.Position{}, im.LabelSize(artwork)).Outset(bleed).Moved(geometry.Size{Across: bleed, Around: bleed})
	return im.writePage(ctx, w, draw.Frame{Size: whole.Size(), Items: []draw.Item{
		draw.Place{Art: artwork, Trim: whole.Outset(-bleed), Clip: draw.Rectangle(whole)},
	}})
}

// WriteCuttingDXF writes the contours of the cut as DXF R12 in
// millimetres; for the second surface, as seen through the film.
func (im *Imposition) WriteCuttingDXF(w io.Writer) error {
	return contour.WriteDXF(w, contour.FrameSheet(im.CutOn, im.AsSeen))
}

// WriteCuttingSVG is WriteCuttingDXF as SVG.
func (im *Imposition) WriteCuttingSVG(w io.Writer) error {
	return contour.WriteSVG(w, contour.FrameSheet(im.CutOn, im.AsSeen))
}

// writePage writes a frame as a document of one page.
func (im *Imposition) writePage(ctx context.Context, w io.Writer, frame draw.Frame) error {
	pw, err := press.New(&cancelled{ctx, w}, im.document())
	if err != nil {
		return err
	}
	if err := pw.Frame(frame); err != nil {
		return err
	}
	return pw.Close()
}

// cancelled ends a long write when the run is interrupted.
type cancelled struct {
	ctx context.Context
	w   io.Writer
}

func (c *cancelled) Write(b []byte) (int, error) {
	if err := c.ctx.Err(); err != nil {
		return 0, err
	}
	return c.w.Write(b)
}
