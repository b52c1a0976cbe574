package pdfobj

import (
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
)

// Document is an open PDF file. It is not safe for concurrent use, but the
// readers that [Stream.Raw] and [Document.Decoded] return are independent of
// it and of each other. Objects that it returns are shared: never change them.
type Document struct {
	src    io.ReaderAt
	size   int64
	closer io.Closer
	opt    Options

	version    string
	header     int64 // offset of %PDF-: some writers count offsets from there
	table      table
	scanned    *scan
	trailer    Dict
	crypt      *crypt
	restricted bool // see Restricted
	notes      []string
	harmed     map[int]string // see Harm
	tree       string         // see MendedTree
	rebuilt    bool           // the table was rebuilt from a scan
	cutOff     bool           // see CutOff
	err        error          // see Err

	parser   parser
	cache    cache
	streams  objectStreams
	loading  map[int]bool
	searched int64 // see search
	walk     *pageWalk
}

// Open reads the cross-reference table of a PDF file of the given size, or
// rebuilds it by scanning the file if it is damaged. It fails with ErrNotPDF,
// ErrPassword, ErrNotPermitted, ErrEncryption, ErrBudget, the context's error
// or a failure of r.
func Open(r io.ReaderAt, size int64, opt Options) (*Document, error) {
	d := &Document{src: r, size: size, opt: opt.withDefaults(), loading: map[int]bool{}}
	d.parser = parser{lexer: newLexer(io.NewSectionReader(r, 0, size)), maxDepth: d.opt.MaxDepth}
	if err := d.readHeader(); err != nil {
		return nil, err
	}
	if err := d.readTable(); err != nil {
		return nil, err
	}
	return d, nil
}

// OpenFile opens the named file; see [Open]. Close the document after use.
func OpenFile(path string, opt Options) (*Document, error) {
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
	d.closer = f
	return d, nil
}

// Close closes the file that [OpenFile] opened.
func (d *Document) Close() error {
	if d.closer == nil {
		return nil
	}
	return d.closer.Close()
}

// Trailer returns the trailer dictionary (7.5.5).
func (d *Document) Trailer() Dict { return d.trailer }

// Catalog returns the document catalog (7.7.2), empty if there is none.
func (d *Document) Catalog() Dict { return d.Dict(d.trailer["Root"]) }

// Version returns the version that the header or, if higher, the catalog
// states, such as "1.7".
func (d *Document) Version() string {
	if v := string(d.Name(d.Catalog()["Version"])); len(v) == 3 && v > d.version {
		return v
	}
	return d.version
}

// Encrypted says whether the file is encrypted.
func (d *Document) Encrypted() bool { return d.crypt != nil }

// Restricted says whether the file's permission bits forbid changing it and
// assembling it into another document, and it was not opened as its owner.
func (d *Document) Restricted() bool { return d.restricted }

// Repaired says what had to be mended so far, in no more than a few lines.
func (d *Document) Repaired() []string { return slices.Clone(d.notes) }

const maxNotes = 50

func (d *Document) note(format string, args ...any) {
	if len(d.notes) >= maxNotes {
		return
	}
	if n := fmt.Sprintf(format, args...); !slices.Contains(d.notes, n) {
		d.notes = append(d.notes, n)
	}
}

// expired returns the context's error.
func (d *Document) expired() error { return d.opt.Context.Err() }
