package raster

import (
	"image"

	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
)

// each calls draw with the page, or with one slice of it after another, which are
// gone when it returns.
func (s *Sheet) each(draw func(requests.Page) error) error {
	if s.cut == nil {
		return draw(requests.Page{ByReference: &s.page})
	}
	for n := range s.cut.parts {
		if err := s.slice(n, draw); err != nil {
			return err
		}
	}
	return nil
}

// any calls see with the page, or with a slice, which has its size.
func (s *Sheet) any(see func(requests.Page) error) error {
	if s.cut == nil {
		return s.each(see)
	}
	return s.slice(len(s.cut.parts)-1, see) // the last one may be small
}

func (s *Sheet) slice(n int, see func(requests.Page) error) error {
	file, size, err := s.cut.reader(n)
	if err != nil {
		return greyError(err)
	}
	book, err := s.r.OpenBook(file, size)
	if err != nil {
		return err
	}
	defer book.Close()
	sheet, err := book.Sheet(0)
	if err != nil {
		return err
	}
	defer sheet.Close()
	return see(requests.Page{ByReference: &sheet.page})
}

// picture draws a sheet that is cut up as Renderer.page draws a whole one.
func (s *Sheet) picture(dpi int) (image.Image, error) {
	var size image.Point
	err := s.any(func(page requests.Page) (err error) {
		size, err = s.r.sizeOf(page, dpi)
		return err
	})
	if err != nil {
		return nil, err
	}
	bitmap, err := s.colours(size.X, size.Y)
	if err != nil {
		return nil, err
	}
	defer s.destroy(bitmap)
	bgra, err := s.buffer(bitmap)
	if err != nil {
		return nil, err
	}
	for i := range bgra {
		bgra[i] = 255 // white paper, on which the renderer draws a whole one
	}
	if err := s.each(func(page requests.Page) error { return s.r.paint(bitmap, page, size) }); err != nil {
		return nil, err
	}
	if bgra, err = s.buffer(bitmap); err != nil {
		return nil, err
	}
	img := image.NewNRGBA(image.Rectangle{Max: size})
	for i := 0; i < len(img.Pix); i += 4 {
		img.Pix[i], img.Pix[i+1], img.Pix[i+2], img.Pix[i+3] = bgra[i+2], bgra[i+1], bgra[i], 255
	}
	return img, nil
}

// paint draws all of a page on what a bitmap shows.
func (r *Renderer) paint(b references.FPDF_BITMAP, page requests.Page, size image.Point) error {
	_, err := r.instance.FPDF_RenderPageBitmap(&requests.FPDF_RenderPageBitmap{Bitmap: b, Page: page, SizeX: size.X, SizeY: size.Y})
	if err != nil {
		return &Error{"drawing a picture", err}
	}
	return nil
}
