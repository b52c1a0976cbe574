package raster

import (
	"context"
	"fmt"

	"github.com/klippa-app/go-pdfium/enums"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/structs"
)

// bandPixels is how many pixels are drawn at a time: 4 MB of the renderer's memory. Only tests change it.
// All of the page is gone through for each band.
var bandPixels = 1 << 20

// BandRows returns the rows of a band that is so many pixels wide: an even number.
func BandRows(width int) int { return max(2, bandPixels/width&^1) }

// Sheet is a page of a PDF, opened to be drawn. Close it after use.
type Sheet struct {
	r     *Renderer
	doc   references.FPDF_DOCUMENT // to be closed with the page; "" for none
	page  references.FPDF_PAGE
	draft *Draft // to be closed with both; nil for none
	light Light
	cut   *sliced // instead of the page; nil for none
}

// Open opens page 1 of a draft, which is closed with it, and if it can't be read. Much
// content is gone through first, as long as the context lasts.
func (r *Renderer) Open(ctx context.Context, pdf *Draft) (*Sheet, error) {
	s, err := r.sheetOf(ctx, pdf)
	if err != nil {
		pdf.Close()
		return nil, err
	}
	s.draft = pdf
	return s, nil
}

func (r *Renderer) sheetOf(ctx context.Context, pdf *Draft) (*Sheet, error) {
	cut, err := slice(ctx, pdf)
	if err != nil {
		return nil, greyError(err)
	}
	if cut != nil {
		if err := r.begin(); err != nil {
			cut.close()
			return nil, greyError(err)
		}
		return &Sheet{r: r, cut: cut}, nil
	}
	file, err := pdf.Reader()
	if err != nil {
		return nil, greyError(err)
	}
	b, err := r.OpenBook(file, pdf.Size())
	if err != nil {
		return nil, err
	}
	s, err := b.Sheet(0)
	if err != nil {
		b.Close()
		return nil, err
	}
	s.doc = b.doc
	return s, nil
}

// Close gives the page's memory back.
func (s *Sheet) Close() {
	if s.draft != nil {
		defer s.draft.Close()
	}
	if s.cut != nil {
		s.cut.close()
		s.r.end()
		return
	}
	s.r.instance.FPDF_ClosePage(&requests.FPDF_ClosePage{Page: s.page})
	if s.doc != "" {
		s.r.instance.FPDF_CloseDocument(&requests.FPDF_CloseDocument{Document: s.doc})
		s.r.end()
	}
}

func greyError(err error) error { return &Error{"drawing a plate", err} }

// Planes are the red, the green and the blue of a picture, row by row without gaps:
// 0 is black, 255 white.
type Planes [3][]byte

// Bands draws the page stretched to width x height pixels, in bands from the
// top, and hands each to take, which may change the pixels but not keep them.
// When the context ends so does the drawing, with its error.
func (s *Sheet) Bands(ctx context.Context, width, height int, take func(y int, band Planes) error) error {
	rows := min(BandRows(width), height)
	bitmap, err := s.colours(width, rows)
	if err != nil {
		return err
	}
	defer s.destroy(bitmap)
	all := NewPlanes(width * rows)
	for y := 0; y < height; y += rows {
		band := all.First(width * min(rows, height-y))
		if err := s.band(ctx, bitmap, width, height, y); err != nil {
			return err
		}
		if err := s.read(bitmap, band); err != nil {
			return err
		}
		if err := take(y, band); err != nil {
			return err
		}
	}
	return nil
}

// Rows draws the page stretched to width x height pixels, from row y on as many rows
// as the planes have room for.
func (s *Sheet) Rows(ctx context.Context, width, height, y int, to Planes) error {
	bitmap, err := s.colours(width, len(to[0])/width)
	if err != nil {
		return err
	}
	defer s.destroy(bitmap)
	if err := s.band(ctx, bitmap, width, height, y); err != nil {
		return err
	}
	return s.read(bitmap, to)
}

// NewPlanes makes black ones of so many pixels.
func NewPlanes(pixels int) (p Planes) {
	for c := range p {
		p[c] = make([]byte, pixels)
	}
	return p
}

// First returns the first pixels of the planes, which it shares.
func (p Planes) First(pixels int) Planes {
	for c := range p {
		p[c] = p[c][:pixels]
	}
	return p
}

// Part draws a part of the page: width x height pixels of so many to the point,
// beginning left and top points from the page's upper left corner, which need
// not be whole pixels.
func (s *Sheet) Part(ctx context.Context, width, height int, perPoint, left, top float64) (part Planes, err error) {
	err = s.part(ctx, width, height, perPoint, left, top, func(b references.FPDF_BITMAP) error {
		part = NewPlanes(width * height)
		return s.read(b, part)
	})
	return part, err
}

// GreyPart draws a part of the page as Part does, as it is seen in the sheet's light.
func (s *Sheet) GreyPart(ctx context.Context, width, height int, perPoint, left, top float64) (grey []byte, err error) {
	err = s.part(ctx, width, height, perPoint, left, top, func(b references.FPDF_BITMAP) error {
		grey = make([]byte, width*height)
		return s.seen(b, grey)
	})
	return grey, err
}

func (s *Sheet) part(ctx context.Context, width, height int, perPoint, left, top float64, see func(references.FPDF_BITMAP) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := tooLarge(width, height, int(perPoint*72)); err != nil {
		return err
	}
	bitmap, err := s.colours(width, height)
	if err != nil {
		return err
	}
	defer s.destroy(bitmap)
	if err := s.clear(bitmap); err != nil {
		return err
	}
	err = s.each(func(page requests.Page) error {
		_, err := s.r.instance.FPDF_RenderPageBitmapWithMatrix(&requests.FPDF_RenderPageBitmapWithMatrix{
			Bitmap: bitmap, Page: page,
			Matrix:   structs.FPDF_FS_MATRIX{A: float32(perPoint), D: float32(perPoint), E: float32(-left * perPoint), F: float32(-top * perPoint)},
			Clipping: structs.FPDF_FS_RECTF{Right: float32(width), Bottom: float32(height)},
		})
		return err
	})
	if err != nil {
		return greyError(err)
	}
	return see(bitmap)
}

// colours makes a bitmap of four bytes to the pixel: blue, green, red and opacity. On
// one of grey the renderer moves letters to whole pixels, and on one without opacity
// it draws, for each object that blends, all that lies beneath once more: a page is an
// isolated group.
func (s *Sheet) colours(width, height int) (references.FPDF_BITMAP, error) {
	b, err := s.r.instance.FPDFBitmap_CreateEx(&requests.FPDFBitmap_CreateEx{Width: width, Height: height, Format: enums.FPDF_BITMAP_FORMAT_BGRA, Pointer: uint64(0)})
	if err != nil {
		return "", greyError(err)
	}
	return b.Bitmap, nil
}

func (s *Sheet) destroy(b references.FPDF_BITMAP) {
	s.r.instance.FPDFBitmap_Destroy(&requests.FPDFBitmap_Destroy{Bitmap: b})
}

// clear takes off a bitmap what was drawn on it.
func (s *Sheet) clear(b references.FPDF_BITMAP) error {
	bgra, err := s.buffer(b)
	clear(bgra)
	return err
}

// read takes the first pixels of a bitmap of colours.
func (s *Sheet) read(b references.FPDF_BITMAP, to Planes) error {
	bgra, err := s.pixels(b)
	if err != nil {
		return err
	}
	red, green, blue := to[0], to[1], to[2]
	bgra = bgra[:4*len(red)]
	for i := range red {
		pixel := bgra[4*i : 4*i+3 : 4*i+3]
		red[i], green[i], blue[i] = pixel[2], pixel[1], pixel[0]
	}
	return nil
}

// pixels returns a bitmap's, on white paper. They are the renderer's own.
func (s *Sheet) pixels(b references.FPDF_BITMAP) ([]byte, error) {
	bgra, err := s.buffer(b)
	for i := 3; i < len(bgra); i += 4 {
		if alpha := int(bgra[i]); alpha != 255 {
			for c := i - 3; c < i; c++ {
				bgra[c] = byte((int(bgra[c])*alpha + 255*(255-alpha) + 127) / 255)
			}
			bgra[i] = 255
		}
	}
	return bgra, err
}

func (s *Sheet) buffer(b references.FPDF_BITMAP) ([]byte, error) {
	out, err := s.r.instance.FPDFBitmap_GetBuffer(&requests.FPDFBitmap_GetBuffer{Bitmap: b})
	if err != nil {
		return nil, greyError(err)
	}
	return out.Buffer, nil
}

// band draws the rows from y on into a bitmap.
func (s *Sheet) band(ctx context.Context, bitmap references.FPDF_BITMAP, width, height, y int) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := s.clear(bitmap); err != nil {
		return err
	}
	return s.each(func(page requests.Page) error { return s.paintBand(ctx, bitmap, page, width, height, y) })
}

// paintBand draws the rows from y on of a page on what a bitmap shows.
func (s *Sheet) paintBand(ctx context.Context, bitmap references.FPDF_BITMAP, page requests.Page, width, height, y int) error {
	defer s.r.instance.FPDF_RenderPage_Close(&requests.FPDF_RenderPage_Close{Page: page})
	out, err := s.r.instance.FPDF_RenderPageBitmap_Start(&requests.FPDF_RenderPageBitmap_Start{
		Bitmap: bitmap, Page: page, StartY: -y, SizeX: width, SizeY: height,
		NeedToPauseNowCallback: func() bool { return ctx.Err() != nil },
	})
	if err != nil {
		return greyError(err)
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if out.RenderStatus != enums.FPDF_RENDER_STATUS_DONE {
		return greyError(fmt.Errorf("the renderer ended with status %d", out.RenderStatus))
	}
	return nil
}
