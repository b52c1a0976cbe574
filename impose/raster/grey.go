package raster

import (
	"context"
	"fmt"

	"github.com/klippa-app/go-pdfium/enums"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/structs"

	"quoin/impose/say"
)

// bandPixels is how many pixels are drawn at a time: of colours, 2 MB of the
// renderer's memory.
const bandPixels = 1 << 19

// BandRows gives the rows of a band that is so many pixels wide: an even number.
func BandRows(width int) int { return max(2, bandPixels/width&^1) }

// Sheet is the first page of a PDF, opened to be drawn in grey: 0 is black, 255
// white. Close it after use.
type Sheet struct {
	r     *Renderer
	doc   references.FPDF_DOCUMENT // to be closed with the page; "" for none
	page  references.FPDF_PAGE
	draft *Draft // to be closed with both; nil for none
	light Light
	cut   *sliced // instead of the page; nil for none
}

// Open opens page 1 of a draft, which is closed with it, and if it can't be read.
func (r *Renderer) Open(pdf *Draft) (*Sheet, error) {
	if cut, err := slice(context.Background(), pdf); cut != nil || err != nil {
		if err == nil {
			err = r.begin()
		}
		if err != nil {
			cut.close()
			pdf.Close()
			return nil, greyError(err)
		}
		return &Sheet{r: r, cut: cut, draft: pdf}, nil
	}
	b, err := r.open(pdf)
	if err != nil {
		pdf.Close()
		return nil, err
	}
	s, err := b.Sheet(0)
	if err != nil {
		b.Close()
		pdf.Close()
		return nil, err
	}
	s.doc, s.draft = b.doc, pdf
	return s, nil
}

func (r *Renderer) open(pdf *Draft) (*Book, error) {
	reader, err := pdf.Reader()
	if err != nil {
		return nil, greyError(err)
	}
	return r.OpenBook(reader, pdf.Size())
}

// Close gives the page's memory back.
func (s *Sheet) Close() {
	if s.cut != nil {
		s.cut.close()
		s.draft.Close()
		s.r.end()
		return
	}
	s.r.instance.FPDF_ClosePage(&requests.FPDF_ClosePage{Page: s.page})
	if s.doc != "" {
		s.r.instance.FPDF_CloseDocument(&requests.FPDF_CloseDocument{Document: s.doc})
		s.r.end()
	}
	if s.draft != nil {
		s.draft.Close()
	}
}

func greyError(err error) error { return &Error{"drawing a plate", err} }

// Bands draws the page stretched to width x height pixels, in bands from the
// top, and hands each to take, which may change the pixels but not keep them.
// When the context ends so does the drawing, with its error.
func (s *Sheet) Bands(ctx context.Context, width, height int, take func(y int, pixels []byte) error) error {
	rows := min(BandRows(width), height)
	bitmap, err := s.grey(width, rows)
	if err != nil {
		return err
	}
	defer s.destroy(bitmap)
	grey := make([]byte, width*rows)
	for y := 0; y < height; y += rows {
		if err := s.band(ctx, bitmap, width, height, rows, y); err != nil {
			return err
		}
		part := grey[:width*min(rows, height-y)]
		if err := s.read(bitmap, width, part); err != nil {
			return err
		}
		if err := take(y, part); err != nil {
			return err
		}
	}
	return nil
}

// Part draws a part of the page: width x height pixels of so many to the point,
// beginning left and top points from the page's upper left corner, which need
// not be whole pixels. It is drawn on colours: on grey the renderer moves letters to
// whole pixels, and two drawings of one label can't be held against each other.
func (s *Sheet) Part(ctx context.Context, width, height int, perPoint, left, top float64) ([]byte, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if width*height > mostPixels {
		return nil, say.Refuse(say.Failed, "ask for fewer dots per inch", "a picture of %d x %d pixels at %d dpi is too large", width, height, int(perPoint*72))
	}
	bitmap, err := s.colours(width, height)
	if err != nil {
		return nil, err
	}
	defer s.destroy(bitmap)
	if err := s.clear(bitmap, width, height); err != nil {
		return nil, err
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
		return nil, greyError(err)
	}
	grey := make([]byte, width*height)
	return grey, s.seen(bitmap, grey)
}

// grey makes a bitmap of one byte to the pixel, on which much less is moved about
// than on one of colours.
func (s *Sheet) grey(width, height int) (references.FPDF_BITMAP, error) {
	return s.bitmap(width, height, enums.FPDF_BITMAP_FORMAT_GRAY)
}

// colours makes a bitmap of four bytes to the pixel: blue, green, red and one that
// means nothing.
func (s *Sheet) colours(width, height int) (references.FPDF_BITMAP, error) {
	return s.bitmap(width, height, enums.FPDF_BITMAP_FORMAT_BGRX)
}

func (s *Sheet) bitmap(width, height int, format enums.FPDF_BITMAP_FORMAT) (references.FPDF_BITMAP, error) {
	b, err := s.r.instance.FPDFBitmap_CreateEx(&requests.FPDFBitmap_CreateEx{Width: width, Height: height, Format: format, Pointer: uint64(0)})
	if err != nil {
		return "", greyError(err)
	}
	return b.Bitmap, nil
}

func (s *Sheet) destroy(b references.FPDF_BITMAP) {
	s.r.instance.FPDFBitmap_Destroy(&requests.FPDFBitmap_Destroy{Bitmap: b})
}

func (s *Sheet) clear(b references.FPDF_BITMAP, width, height int) error {
	_, err := s.r.instance.FPDFBitmap_FillRect(&requests.FPDFBitmap_FillRect{Bitmap: b, Width: width, Height: height, Color: 0xffffffff})
	if err != nil {
		return greyError(err)
	}
	return nil
}

// read takes the first rows of a grey bitmap that is so many pixels wide, each of
// which begins at a multiple of four bytes.
func (s *Sheet) read(b references.FPDF_BITMAP, width int, grey []byte) error {
	rows, err := s.pixels(b)
	if err != nil {
		return err
	}
	for stride := (width + 3) &^ 3; len(grey) > 0; grey = grey[width:] {
		copy(grey[:width], rows)
		rows = rows[stride:]
	}
	return nil
}

// pixels gives a bitmap's, which are the renderer's own.
func (s *Sheet) pixels(b references.FPDF_BITMAP) ([]byte, error) {
	out, err := s.r.instance.FPDFBitmap_GetBuffer(&requests.FPDFBitmap_GetBuffer{Bitmap: b})
	if err != nil {
		return nil, greyError(err)
	}
	return out.Buffer, nil
}

// band draws the rows from y on into a bitmap.
func (s *Sheet) band(ctx context.Context, bitmap references.FPDF_BITMAP, width, height, rows, y int) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := s.clear(bitmap, width, rows); err != nil {
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
