package raster

import (
	"context"
	"image"
	"image/color"
	"image/png"
	"io"

	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
)

// PNG writes a picture of page 1 of a draft at so many pixels to the inch. It is
// drawn band by band, so that a large one takes no more memory than a small one.
func (r *Renderer) PNG(ctx context.Context, w io.Writer, pdf *Draft, dpi int) error {
	sheet, err := r.Open(ctx, pdf)
	if err != nil {
		return err
	}
	defer sheet.Close()
	var size image.Point
	err = sheet.any(func(page requests.Page) (err error) {
		size, err = r.sizeOf(page, dpi)
		return err
	})
	if err != nil {
		return err
	}
	s := &strips{ctx: ctx, sheet: sheet, size: size, rows: min(BandRows(size.X), size.Y), top: -1}
	if s.bitmap, err = sheet.colours(size.X, s.rows); err != nil {
		return err
	}
	defer sheet.destroy(s.bitmap)
	if err := png.Encode(w, s); err != nil {
		return err
	}
	return s.err
}

// strips is a picture whose rows are drawn as they are asked for, from the top. What
// comes after an error is white.
type strips struct {
	ctx    context.Context
	sheet  *Sheet
	bitmap references.FPDF_BITMAP
	size   image.Point
	rows   int // of a band
	top    int // of the band that is drawn; -1: none
	bgra   []byte
	err    error
}

func (s *strips) ColorModel() color.Model { return color.RGBAModel }
func (s *strips) Bounds() image.Rectangle { return image.Rectangle{Max: s.size} }

// Opaque reports that the page is, so that nobody looks through it twice.
func (s *strips) Opaque() bool { return true }

func (s *strips) At(x, y int) color.Color {
	if top := y / s.rows * s.rows; top != s.top && s.err == nil {
		if s.err = s.sheet.band(s.ctx, s.bitmap, s.size.X, s.size.Y, top); s.err == nil {
			s.bgra, s.err = s.sheet.pixels(s.bitmap)
		}
		s.top = top
	}
	if s.err != nil {
		return color.White
	}
	pixel := s.bgra[4*((y-s.top)*s.size.X+x):]
	return color.RGBA{pixel[2], pixel[1], pixel[0], 255}
}
