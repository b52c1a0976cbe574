package raster

import (
	"io"

	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
)

// Book is an open PDF that is read as far as its pages ask for, and never held in
// memory as a whole.
type Book struct {
	r   *Renderer
	doc references.FPDF_DOCUMENT
}

// OpenBook opens a PDF of so many bytes. The file stays open until the book is
// closed.
func (r *Renderer) OpenBook(file io.ReadSeeker, size int64) (*Book, error) {
	if err := r.begin(); err != nil {
		return nil, greyError(err)
	}
	doc, err := r.instance.OpenDocument(&requests.OpenDocument{FileReader: file, FileReaderSize: size})
	if err != nil {
		r.end()
		return nil, greyError(err)
	}
	return &Book{r, doc.Document}, nil
}

// Sheet opens a page, the first of which is 0. Close it before the next.
func (b *Book) Sheet(page int) (*Sheet, error) {
	p, err := b.r.instance.FPDF_LoadPage(&requests.FPDF_LoadPage{Document: b.doc, Index: page})
	if err != nil {
		return nil, greyError(err)
	}
	return &Sheet{r: b.r, page: p.Page}, nil
}

// Close closes the PDF.
func (b *Book) Close() {
	b.r.instance.FPDF_CloseDocument(&requests.FPDF_CloseDocument{Document: b.doc})
	b.r.end()
}
