package pdfobj

import (
	"errors"
	"fmt"
	"io"
	"os"
)

// Document is an open PDF file. It is not safe for concurrent use, but the
// readers that [Stream.Raw] and [Document.Decoded] return are independent of
// it and of each other. Objects that it returns are shared: never change them.
type Document struct {
	file     source
	sections sections
	mender   mender
	objects  resolver
	security security
	decoder  decoder
	damage   Damage
	walk     pageWalk
	presums  presums
	chores   chores

	trailer Dict
	err     error // see Err
}

// Open reads the cross-reference table of a PDF file of the given size, or
// rebuilds it by scanning the file if it is damaged. It fails with ErrNotPDF,
// ErrPassword, ErrNotPermitted, ErrEncryption, ErrBudget, the context's error
// or a failure of r.
func Open(r io.ReaderAt, size int64, opt Limits) (*Document, error) {
	d := &Document{}
	opt = opt.withDefaults()
	d.file = source{src: r, size: size, opt: opt, damage: &d.damage,
		parser: parser{lexer: newLexer(io.NewSectionReader(r, 0, size)), maxDepth: opt.MaxDepth}}
	d.sections = sections{doc: d, file: &d.file}
	d.mender = mender{doc: d, file: &d.file, damage: &d.damage}
	d.objects = resolver{doc: d, file: &d.file, damage: &d.damage, loading: map[int]bool{}}
	d.security, d.decoder, d.damage.doc = security{doc: d}, decoder{d}, d
	d.walk = pageWalk{doc: d, visited: map[Ref]bool{}}
	if err := d.file.readHeader(); err != nil {
		return nil, err
	}
	if err := d.sections.read(); err != nil {
		return nil, err
	}
	return d, nil
}

// OpenFile opens the named file; see [Open]. Close the document after use.
func OpenFile(path string, opt Limits) (*Document, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	info, err := f.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = errors.New("not a regular file")
	}
	var d *Document
	if err == nil {
		d, err = Open(f, info.Size(), opt)
	}
	if err != nil {
		f.Close()
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	d.file.closer = f
	return d, nil
}

// Close closes the file that [OpenFile] opened.
func (d *Document) Close() error {
	if d.file.closer == nil {
		return nil
	}
	return d.file.closer.Close()
}

// Trailer returns the trailer dictionary (7.5.5).
func (d *Document) Trailer() Dict { return d.trailer }

// Catalog returns the document catalog (7.7.2), empty if there is none.
func (d *Document) Catalog() Dict { return d.Dict(d.trailer["Root"]) }

// Version returns the version that the header or, if higher, the catalog
// states, such as "1.7".
func (d *Document) Version() string {
	if v := string(d.Name(d.Catalog()["Version"])); len(v) == 3 && v > d.file.version {
		return v
	}
	return d.file.version
}

// Encrypted reports whether the file is encrypted.
func (d *Document) Encrypted() bool { return d.security.crypt != nil }

// Restricted reports whether the file's permission bits forbid changing it and
// assembling it into another document, and it was not opened as its owner.
func (d *Document) Restricted() bool { return d.security.restricted }

// Damage tells what is wrong with the file, as far as it has been read.
func (d *Document) Damage() *Damage { return &d.damage }
