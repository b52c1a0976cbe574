package pdfobj

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
)

// Operation is one operator of a content stream with its operands. An inline
// image is one operation, "BI", whose operand is a *Stream in memory with
// the keys and values that the content gave it, long or short.
type Operation struct {
	Operator string
	Operands []Object
	Numbers  []float64 // in place of Operands: see [ContentScanner.Plain]
	Path     Path      // built before the operator: see [ContentScanner.Paths]
}

// ContentScanner cuts a content stream (7.8.2) into operations. It forgives
// damage: what makes no sense is skipped.
type ContentScanner struct {
	// Reuse lets Next overwrite the operands of the operation before, for
	// callers that don't keep them.
	Reuse bool
	// Plain gives operands that are all plain numbers, which those of large
	// streams nearly always are, as Numbers and leaves Operands empty. The next
	// operation overwrites them.
	Plain bool
	// Paths gives operators that build paths, where each has just the plain numbers that it
	// takes, as the Path of the operation after them. It needs Plain, and holds from one
	// Next to another.
	Paths bool

	p       parser
	op      Operation
	numbers quickNumbers
	err     error
}

const (
	// maxOperands is far above what any operator takes; the oldest are
	// dropped, as an operator takes the last ones.
	maxOperands = 1024
	// maxInline bounds the data of an inline image.
	maxInline = 64 << 20
	// maxContentDepth bounds nesting in operands.
	maxContentDepth = 64
)

// NewContentScanner reads decoded content. The contents of a page that come
// as an array of streams are joined by white space: see [Document.Content].
func NewContentScanner(r io.Reader) *ContentScanner {
	l := newLexer(sequential{r})
	l.wide = true
	return &ContentScanner{p: parser{lexer: l, maxDepth: maxContentDepth, content: true}}
}

// sequential is an io.ReaderAt for a lexer that never goes back.
type sequential struct{ r io.Reader }

func (s sequential) ReadAt(p []byte, _ int64) (int, error) { return io.ReadAtLeast(s.r, p, 1) }

// Next moves to the next operation and returns false at the end or after an
// error. Operands without an operator at the end are dropped.
func (c *ContentScanner) Next() bool {
	if c.err != nil {
		return false
	}
	if c.Reuse {
		c.op.Operator, c.op.Operands, c.op.Numbers, c.op.Path = "", c.op.Operands[:0], nil, Path{}
	} else {
		c.op = Operation{}
	}
	for {
		if op, ok := c.quick(); ok {
			c.op.Operator = op
			return true
		}
		c.unplain()
		c.p.items = 0
		t, err := c.p.token()
		if err != nil {
			c.err = err
			return false
		}
		switch {
		case t.kind == tokenEOF:
			c.err = c.p.err
			return false
		case t.kind == tokenKeyword && !isConstant(t.text):
			if !isRegular(t.text[0]) {
				continue // a stray delimiter
			}
			c.op.Operator = t.text
			if t.text == "BI" {
				return c.inlineImage()
			}
			return true
		case t.kind == tokenArrayClose || t.kind == tokenDictClose:
			continue
		}
		o, err := c.p.objectFrom(t, 0)
		switch err {
		case nil:
			if len(c.op.Operands) >= maxOperands {
				c.op.Operands = append(c.op.Operands[:0], c.op.Operands[maxOperands/2:]...)
			}
			c.op.Operands = append(c.op.Operands, o)
		case errTooDeep, errNoObject:
		default:
			c.err = err
			return false
		}
	}
}

func isConstant(word string) bool {
	return word == "true" || word == "false" || word == "null"
}

// Operation returns the operation that Next moved to. It is the caller's to
// keep, unless Reuse is set.
func (c *ContentScanner) Operation() Operation { return c.op }

// Latest returns that operation itself, which the next one overwrites.
func (c *ContentScanner) Latest() *Operation { return &c.op }

// Err returns the error that ended the scan early: one of the reader, or
// ErrBudget.
func (c *ContentScanner) Err() error { return c.err }

// inlineImage reads an inline image after BI (8.9.7).
func (c *ContentScanner) inlineImage() bool {
	dict := Dict{}
	for {
		t, err := c.p.token()
		if err != nil {
			c.err = err
			return false
		}
		if t.kind == tokenEOF {
			return false
		}
		if t.isKeyword("ID") {
			break
		}
		if t.isKeyword("EI") { // there never was any data
			c.op.Operands = []Object{NewStream(dict, nil)}
			return true
		}
		if t.kind != tokenName {
			continue
		}
		o, err := c.p.object(1)
		if err == errNoObject || err == errTooDeep {
			continue
		}
		if err != nil {
			c.err = err
			return false
		}
		if o != nil {
			dict[Name(t.text)] = o
		}
	}
	data, err := c.inlineData(dict)
	if err != nil {
		c.err = err
		return false
	}
	c.op.Operands = []Object{NewStream(dict, data)}
	return true
}

// inlineData reads the bytes between ID and EI. Data may contain "EI", so
// its length is computed where that is possible, and elsewhere what follows
// must look like content.
func (c *ContentScanner) inlineData(dict Dict) ([]byte, error) {
	l := c.p.lexer
	if b, ok := l.peek(); ok && isSpace(b) {
		l.pos++
		if b == '\r' {
			l.skipByte('\n')
		}
	}
	var data []byte
	if n, ok := inlineLength(dict); ok && l.ensure(int(n)) {
		if skip, ok := c.endsInline(int(n)); ok {
			data = bytes.Clone(l.buf[l.pos : l.pos+int(n)])
			l.pos += int(n) + skip
			return data, nil
		}
	}
	for {
		b, ok := l.take()
		if !ok {
			return data, l.err
		}
		if len(data) >= maxInline {
			return nil, fmt.Errorf("%w: an inline image has no end", ErrBudget)
		}
		data = append(data, b)
		if !isSpace(b) {
			continue
		}
		if skip, ok := c.endsInline(0); ok && c.looksLikeContent(skip) {
			l.pos += skip
			return data[:len(data)-1], nil
		}
	}
}

// endsInline reports whether EI stands n bytes on, perhaps after white space,
// and returns how far behind those n bytes it ends.
func (c *ContentScanner) endsInline(n int) (skip int, ok bool) {
	l := c.p.lexer
	for ; skip < 4; skip++ {
		if !l.ensure(n+skip+1) || !isSpace(l.buf[l.pos+n+skip]) {
			break
		}
	}
	if !l.ensure(n+skip+2) || l.buf[l.pos+n+skip] != 'E' || l.buf[l.pos+n+skip+1] != 'I' {
		return 0, false
	}
	skip += 2
	return skip, !l.ensure(n+skip+1) || !isRegular(l.buf[l.pos+n+skip])
}

// looksLikeContent reports whether the bytes behind EI are text, as content is.
func (c *ContentScanner) looksLikeContent(skip int) bool {
	l := c.p.lexer
	const sample = 12
	l.ensure(skip + sample)
	tail := l.buf[l.pos+skip:]
	for _, b := range tail[:min(len(tail), sample)] {
		if b >= 0x7f || b < ' ' && (b == 0 || !isSpace(b)) {
			return false
		}
	}
	return true
}

// inlineLength returns the length of an inline image's data if it is stated
// (PDF 2.0) or follows from an image without filters.
func inlineLength(dict Dict) (int64, bool) {
	number := func(long, short Name) (int64, bool) {
		o, ok := dict[long]
		if !ok {
			o = dict[short]
		}
		n, ok := integer(o)
		return n, ok && n >= 0 && n <= maxInline
	}
	if n, ok := number("Length", "L"); ok {
		return n, true
	}
	if dict["Filter"] != nil || dict["F"] != nil {
		return 0, false
	}
	width, ok1 := number("Width", "W")
	height, ok2 := number("Height", "H")
	bits, ok3 := number("BitsPerComponent", "BPC")
	components := int64(1)
	space := dict["ColorSpace"]
	if space == nil {
		space = dict["CS"]
	}
	if mask, _ := dict["IM"].(bool); mask || dict["ImageMask"] == true {
		bits, ok3 = 1, true
	} else {
		switch name, _ := space.(Name); name {
		case "DeviceGray", "G":
		case "DeviceRGB", "RGB":
			components = 3
		case "DeviceCMYK", "CMYK":
			components = 4
		default:
			if _, indexed := space.(Array); !indexed {
				return 0, false // a named space, unknown here
			}
		}
	}
	if !ok1 || !ok2 || !ok3 || bits > 16 {
		return 0, false
	}
	n := (width*components*bits + 7) / 8 * height
	return n, n <= maxInline
}

// Content returns the contents of a page or form: one stream, or the streams
// of an array, joined by line ends as 7.8.2 asks. Streams of the array that
// are missing or cannot be decoded are left out, with a note in Repaired.
func (d *Document) Content(o Object) io.Reader {
	v := d.value(o)
	parts, isArray := v.(Array)
	if !isArray {
		parts = Array{v}
	}
	var readers []io.Reader
	for _, part := range parts {
		s := d.Stream(part)
		if s == nil {
			continue
		}
		n := &noted{doc: d, num: s.Ref.Num}
		r, rest, err := d.decoder.upTo(s, func(err error) { n.cut = cmp.Or(n.cut, err) })
		if err == nil && len(rest) > 0 {
			err = fmt.Errorf("%w: %s", ErrImageFilter, rest[0].Filter)
		}
		if err != nil {
			d.damage.note("content stream %d: %v; left out", s.Ref.Num, err)
			d.damage.lost(s.Ref.Num, "it can't be decoded: %v", err)
			continue
		}
		n.r = &ahead{r: r, idle: d.chores.do}
		if !heavy(s) {
			d.chores.hand()
		}
		readers = append(readers, n, bytes.NewReader([]byte("\n")))
	}
	return io.MultiReader(readers...)
}

// noted turns damage at the very start of a content stream into a note, and has it
// known where the data end before they should.
type noted struct {
	r   io.Reader
	doc *Document
	num int
	cut error // why they do; whoever reads ahead sets it before it gives the end
}

func (n *noted) Read(p []byte) (int, error) {
	got, err := n.r.Read(p)
	if err != nil {
		n.doc.chores.hand()
	}
	if err != nil && n.cut != nil {
		n.doc.damage.lost(n.num, "its data are cut short: %v", n.cut)
	}
	if err != nil && err != io.EOF && !n.doc.file.fatal(err) {
		n.doc.damage.note("content stream %d: %v", n.num, err)
		n.doc.damage.lost(n.num, "it can't be decoded: %v", err)
		err = io.EOF
	}
	return got, err
}
