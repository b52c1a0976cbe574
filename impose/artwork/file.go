// Package artwork opens a customer's PDF as pages that can be placed: their
// boxes, rotation, inks, layers, fonts and images, and what a person should
// know before they are printed. It changes nothing and refuses nothing that
// placing doesn't need.
//
// Section numbers in the comments are those of ISO 32000-1:2008.
package artwork

import (
	"cmp"
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"math"
	"os"

	"quoin/geometry"
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
)

// Options say how artwork is read. The zero value reads any honest file.
type Options struct {
	// PDF bounds the reading, and holds the password and the context.
	PDF pdfobj.Limits
	// Rules are the job's wishes about inks. They decide the kind of an ink;
	// names stay as the artwork spells them.
	Rules ink.Rules
	// Bleed is how much the job wants beyond the trim on every side; a page
	// with less gets a finding. Zero asks for none.
	Bleed geometry.Length
	// FineText and FineLine are the sizes in points below which text and lines
	// should stand in one ink. Zero means 8 and 1.
	FineText, FineLine float64
	// Operators bounds how many content operators of one page are looked at.
	// Zero means 50 million. A page with more can't be placed.
	Operators int
	// Long takes content of any length: neither operators nor bytes are
	// bounded. Reading may then take as long as it likes.
	Long bool
	// Placeless walks what is painted at many places once for each way in which
	// it shows there. Which rules the content keeps is found in full; what lies
	// over what, and where, is not.
	Placeless bool
	// Copied says that pages will be copied into another document, for which long
	// streams are made ready while they are looked at.
	Copied bool
	// Lies is where the content lies, where that is not the file's path.
	Lies string
}

// File is an open artwork. Like the document beneath, it is not safe for
// concurrent use.
type File struct {
	Path string
	Doc  *pdfobj.Document

	opt    Options
	handle *os.File
	pages  int
	layers *layerTable

	profiles map[pdfobj.Ref]profileRead
	profiled int64 // bytes of profiles read so far
}

// Open opens a PDF. Every error is an *Error that names the file and has a
// hint; errors.Is finds pdfobj.ErrNotPDF, ErrPassword, ErrNotPermitted,
// ErrEncryption and ErrBudget, ErrNoPages and those of the file system.
// Close the file after use.
func Open(path string, opt Options) (*File, error) {
	if opt.Long && opt.PDF.MaxDecoded == 0 {
		opt.PDF.MaxDecoded = math.MaxInt64 >> 1
	}
	f := &File{Path: path, opt: opt}
	if err := f.open(); err != nil {
		f.Close()
		return nil, &Error{Path: path, Err: err}
	}
	return f, nil
}

func (f *File) open() (err error) {
	if f.handle, err = os.Open(cmp.Or(f.opt.Lies, f.Path)); err != nil {
		var p *os.PathError
		if errors.As(err, &p) {
			return p.Err // the path is named by Error
		}
		return err
	}
	info, err := f.handle.Stat()
	if err != nil {
		return err
	}
	if !info.Mode().IsRegular() {
		return errNotRegular
	}
	defer recovered(&err)
	if f.Doc, err = pdfobj.Open(f.handle, info.Size(), f.opt.PDF); err != nil {
		return err
	}
	if f.pages, err = f.Doc.PageCount(); err != nil {
		return err
	}
	if f.pages == 0 {
		return ErrNoPages
	}
	f.layers = readLayers(f.Doc)
	return nil
}

// Sum has the SHA-256 of the file worked out, in hexadecimal, while a page is read, and
// returns what waits for it.
func (f *File) Sum() func() (string, error) {
	sum := pdfobj.NewSumming(io.NewSectionReader(f.handle, 0, math.MaxInt64))
	pdfobj.Meanwhile(f.Doc, sum)
	return func() (string, error) {
		s, err := sum.Sum()
		return hex.EncodeToString(s[:]), err
	}
}

// Pages returns the number of pages, at least 1.
func (f *File) Pages() int { return f.pages }

// Page reads page n, counted from 1, and looks through its content. Every
// error is an *Error; a number outside of the file gives ErrPageRange.
func (f *File) Page(n int) (p *Page, err error) {
	defer func() {
		if err != nil {
			p, err = nil, &Error{Path: f.Path, Page: n, Err: err}
		}
	}()
	if n < 1 || n > f.pages {
		return nil, noPage(f.pages)
	}
	defer recovered(&err)
	source, err := f.Doc.Page(n - 1)
	if err != nil {
		return nil, err
	}
	return readPage(f, source, n)
}

// Close closes the file. Pages can no longer be copied from it then.
func (f *File) Close() error {
	if f.handle == nil {
		return nil
	}
	return f.handle.Close()
}

// context is what may end a long scan.
func (f *File) context() context.Context {
	if f.opt.PDF.Context != nil {
		return f.opt.PDF.Context
	}
	return context.Background()
}

// recovered turns a panic into an error. There should be none; but one bad
// file must not take a night's run with it.
func recovered(err *error) {
	if r := recover(); r != nil {
		*err = fmt.Errorf("%w: %v", errPanic, r)
	}
}
