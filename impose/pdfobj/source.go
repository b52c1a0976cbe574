package pdfobj

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
)

// source is the bytes of a file, as they lie there.
type source struct {
	src      io.ReaderAt
	size     int64
	closer   io.Closer
	opt      Limits
	damage   *Damage
	version  string
	header   int64 // offset of %PDF-: some writers count offsets from there
	parser   parser
	searched int64 // see search
}

// readHeader finds the header, which 7.5.2 wants at the very start.
func (f *source) readHeader() error {
	head := make([]byte, min(f.size, 4096))
	n, err := f.src.ReadAt(head, 0)
	if err != nil && err != io.EOF {
		return err
	}
	head = head[:n]
	i := bytes.Index(head, []byte("%PDF-"))
	if i < 0 {
		f.damage.note("the file has no header")
		f.version = "1.4"
		return nil
	}
	if i > 0 {
		f.damage.note("%d bytes stand before the header", i)
	}
	f.header = int64(i)
	v := head[i+5:]
	if len(v) >= 3 && isDigit(v[0]) && v[1] == '.' && isDigit(v[2]) {
		f.version = string(v[:3])
	} else {
		f.damage.note("the header states no version")
		f.version = "1.4"
	}
	return nil
}

// expired returns the context's error.
func (f *source) expired() error { return f.opt.Context.Err() }

// fatal reports whether err must end the reading. Damage in the file never does.
func (f *source) fatal(err error) bool {
	return errors.Is(err, ErrBudget) || f.expired() != nil || f.parser.err != nil
}

var errNoHeader = errors.New("no object stands at its place")

// objectHeader reads "N G obj" at an offset.
func (f *source) objectHeader(off int64) (Ref, error) {
	p := &f.parser
	p.start()
	if off < 0 || off >= f.size {
		return Ref{}, errNoHeader
	}
	p.seek(off)
	num, err := p.token()
	if err != nil {
		return Ref{}, err
	}
	if num.kind != tokenInteger || num.num < 0 || num.num > maxObjectNumber {
		return Ref{}, errNoHeader
	}
	gen, err := p.token()
	if err != nil {
		return Ref{}, err
	}
	if gen.kind != tokenInteger || gen.num < 0 || gen.num > maxGeneration {
		return Ref{}, errNoHeader
	}
	word, err := p.token()
	if err != nil {
		return Ref{}, err
	}
	if !word.isKeyword("obj") {
		return Ref{}, errNoHeader
	}
	return Ref{int(num.num), int(gen.num)}, nil
}

// startxref returns the offset that the end of the file states (7.5.5).
func (f *source) startxref() (int64, error) {
	const word = "startxref"
	tail := make([]byte, min(f.size, 4096))
	n, err := f.src.ReadAt(tail, f.size-int64(len(tail)))
	if err != nil && err != io.EOF {
		return 0, err
	}
	i := bytes.LastIndex(tail[:n], []byte(word))
	if i < 0 {
		return 0, fmt.Errorf("%w: no startxref", errXref)
	}
	t, err := newBytesLexer(tail[i+len(word) : n]).next()
	if err != nil || t.kind != tokenInteger {
		return 0, fmt.Errorf("%w: startxref states no offset", errXref)
	}
	return t.num, nil
}

// StartXref returns the offset of a document's table of objects that its end states; 0
// for none.
func StartXref(d *Document) int64 {
	at, err := d.file.startxref()
	if err != nil {
		return 0
	}
	return at
}

// tableLine reads one line of a table. Lines of exactly 20 bytes take the
// short way; other shapes occur.
func (f *source) tableLine() (off, gen int64, used bool, err error) {
	p := &f.parser
	if len(p.ahead) == 0 {
		p.skipSpace()
		if p.ensure(18) {
			b := p.buf[p.pos : p.pos+18]
			off, ok1 := digits(b[:10])
			gen, ok2 := digits(b[11:16])
			if ok1 && ok2 && b[10] == ' ' && b[16] == ' ' && (b[17] == 'n' || b[17] == 'f') {
				p.pos += 18
				return off, min(gen, maxGeneration), b[17] == 'n', nil
			}
		}
	}
	var t [3]token
	for i := range t {
		if t[i], err = p.token(); err != nil {
			return 0, 0, false, err
		}
	}
	if t[0].kind != tokenInteger || t[1].kind != tokenInteger || !t[2].isKeyword("n") && !t[2].isKeyword("f") {
		return 0, 0, false, fmt.Errorf("%w: a line is damaged", errXref)
	}
	return t[0].num, min(max(t[1].num, 0), maxGeneration), t[2].text == "n", nil
}

// search accounts for n bytes read in search of the end of something. That
// may come to each byte of the file some times over, no more: a file can hold
// many beginnings and not one end.
func (f *source) search(n int64) error {
	const factor, free = 16, 64 << 20
	if f.searched += n; f.searched > factor*f.size+free {
		return fmt.Errorf("%w: too many objects without an end", ErrBudget)
	}
	return nil
}

// endsAt reports whether the keyword endstream stands at off, after blanks.
func (f *source) endsAt(off int64) bool {
	l := f.parser.lexer
	l.seek(off)
	for range 64 {
		b, ok := l.peek()
		if !ok || b != ' ' && b != '\t' && b != '\r' && b != '\n' {
			break
		}
		l.pos++
	}
	const word = "endstream"
	return l.ensure(len(word)) && string(l.buf[l.pos:l.pos+len(word)]) == word
}

// findEnd looks for the end of a stream whose length is wrong: the next
// endstream, or endobj if that comes first, less the line end before it. found
// is false where the file ends before the stream.
func (f *source) findEnd(start int64) (end int64, found bool, err error) {
	buf := make([]byte, 64<<10)
	const overlap = 16
	for off := start; off < f.size; {
		if err := f.expired(); err != nil {
			return 0, false, err
		}
		if err := f.search(int64(len(buf))); err != nil {
			return 0, false, err
		}
		n, err := f.src.ReadAt(buf[:min(int64(len(buf)), f.size-off)], off)
		if err != nil && err != io.EOF {
			return 0, false, err
		}
		if i := firstOf(buf[:n], "endstream", "endobj"); i >= 0 {
			end, err := f.trimLineEnd(start, off+int64(i))
			return end, true, err
		}
		if n <= overlap {
			break
		}
		off += int64(n - overlap)
	}
	return f.size, false, nil
}

func firstOf(data []byte, words ...string) int {
	first := -1
	for _, w := range words {
		if i := bytes.Index(data, []byte(w)); i >= 0 && (first < 0 || i < first) {
			first = i
		}
	}
	return first
}

func (f *source) trimLineEnd(start, end int64) (int64, error) {
	var tail [2]byte
	n := min(2, end-start)
	if _, err := f.src.ReadAt(tail[2-n:], end-n); err != nil && err != io.EOF {
		return 0, err
	}
	switch {
	case n == 2 && tail == [2]byte{'\r', '\n'}:
		return end - 2, nil
	case n >= 1 && (tail[1] == '\n' || tail[1] == '\r'):
		return end - 1, nil
	}
	return end, nil
}

// others are the first bytes of files that are taken for PDF, by what people call
// them (from memory, and as file(1) knows them).
var others = []struct{ begins, what string }{
	{"\x89PNG", "it is a PNG picture"}, {"\xff\xd8\xff", "it is a JPEG picture"}, {"II*\x00", "it is a TIFF picture"}, {"MM\x00*", "it is a TIFF picture"},
	{"%!PS", "it is PostScript"}, {"\xc5\xd0\xd3\xc6", "it is PostScript"}, {"8BPS", "it is a layered picture, PSD"},
	{"PK\x03\x04", "it is a ZIP archive, as office documents are"}, {"\x1f\x8b", "it is compressed with gzip"},
	{"<svg", "it is SVG"}, {"<?xml", "it is XML, perhaps SVG"}, {"<!DOCTYPE html", "it is a web page"}, {"<html", "it is a web page"},
}

// looksLike says what a file is that holds no objects.
func (f *source) looksLike() string {
	if f.size == 0 {
		return "it is empty"
	}
	head := make([]byte, 32)
	n, _ := f.src.ReadAt(head, 0)
	for _, o := range others {
		if strings.HasPrefix(string(head[:n]), o.begins) {
			return o.what
		}
	}
	return "it holds no objects"
}
