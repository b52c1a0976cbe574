package typeset

import (
	"fmt"
	"image"

	"github.com/signintech/gopdf"
)

// Picture draws an image as large as the box allows, in its middle, with a thin
// line around it.
func (d *Document) Picture(img image.Image, b Box) {
	size := img.Bounds().Size()
	if size.X < 1 || size.Y < 1 || b.W <= 0 || b.H <= 0 {
		return
	}
	scale := min(b.W/float64(size.X), b.H/float64(size.Y))
	at := Box{W: scale * float64(size.X), H: scale * float64(size.Y)}
	at.X, at.Y = b.X+(b.W-at.W)/2, b.Y+(b.H-at.H)/2
	if err := d.pdf.ImageFrom(img, at.X, at.Y, &gopdf.Rect{W: at.W, H: at.H}); err != nil && d.err == nil {
		d.err = fmt.Errorf("placing a picture: %w", err)
	}
	d.Pen(0.3)
	d.Rect(at)
}
