package impose

import (
	"context"
	"io"

	"quoin/impose/contour"
	"quoin/impose/draw"
	"quoin/impose/press"
)

// WritePDF writes the frame as the press-ready PDF: one page, to be printed as
// often as the summary says. The same input gives the same bytes.
func (im *Imposition) WritePDF(ctx context.Context, w io.Writer) error {
	return im.writePage(ctx, w, im.Frame)
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
	return writeDocument(ctx, w, frame, im.document())
}

func writeDocument(ctx context.Context, w io.Writer, frame draw.Frame, setup press.Setup) error {
	pw, err := press.New(&cancelled{ctx, w}, setup)
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
