package raster

import (
	"context"

	"github.com/klippa-app/go-pdfium/requests"
)

// Letters returns the boxes of the page's letters in its own space, each as left,
// bottom, right, top: at most so many of them. Text that is drawn as outlines
// has none, nor have spaces.
func (s *Sheet) Letters(ctx context.Context, most int) (list [][4]float64, err error) {
	pdfium := s.r.instance
	text, err := pdfium.FPDFText_LoadPage(&requests.FPDFText_LoadPage{Page: requests.Page{ByReference: &s.page}})
	if err != nil {
		return nil, lettersError(err)
	}
	defer pdfium.FPDFText_ClosePage(&requests.FPDFText_ClosePage{TextPage: text.TextPage})
	n, err := pdfium.FPDFText_CountChars(&requests.FPDFText_CountChars{TextPage: text.TextPage})
	if err != nil {
		return nil, lettersError(err)
	}
	for i := 0; i < n.Count && len(list) < most; i++ {
		if i%256 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		// Line breaks that the renderer puts in by itself have no box.
		if b, err := pdfium.FPDFText_GetCharBox(&requests.FPDFText_GetCharBox{TextPage: text.TextPage, Index: i}); err == nil && b.Right > b.Left && b.Top > b.Bottom {
			list = append(list, [4]float64{b.Left, b.Bottom, b.Right, b.Top})
		}
	}
	return list, nil
}

func lettersError(err error) error { return &Error{"looking for the letters of a page", err} }
