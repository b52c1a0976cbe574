package glimpse

import (
	"bytes"
	"context"
	"errors"
	"image"
	"io"

	"quoin/impose/pdfobj"
)

// Book is an open PDF whose pages are looked at.
type Book struct {
	ctx    context.Context
	r      reader
	layers *layers
	fonts  map[int]*font // by object number
	forms  map[int]*form // by object number
	kept   int           // bytes of the forms' content
	pic    *picture      // the last one; nil where it isn't understood
	shown  int           // its object number
}

// form is a form that is painted.
type form struct {
	dict    pdfobj.Dict
	content []byte
}

// Open reads a PDF's table of objects. It fails for files that are damaged or larger
// than need be.
func Open(ctx context.Context, file io.ReaderAt, size int64) (*Book, error) {
	doc, err := pdfobj.Open(file, size, pdfobj.Limits{Context: ctx, MaxObjects: mostObjects, MaxDecoded: mostDecoded})
	if err != nil {
		return nil, err
	}
	r := reader{doc}
	return &Book{ctx: ctx, r: r, layers: r.layers(), fonts: map[int]*font{}, forms: map[int]*form{}}, r.sound()
}

// Draw draws places of a page, the first of which is 0, at so many pixels to the point;
// areas are in pixels of the page, y down. An error says that the page has something
// that this package doesn't understand, and need not be one of the file.
func (b *Book) Draw(page int, perPoint float64, areas []image.Rectangle) (places []*Place, err error) {
	p, err := b.r.page(page)
	if err != nil {
		return nil, err
	}
	text, err := b.r.content(p.contents)
	if err != nil {
		return nil, err
	}
	on := &canvas{}
	for _, area := range areas {
		on.places = append(on.places, newPlace(area))
	}
	look := &look{Book: b, canvas: on}
	look.state = state{
		ctm: matrix{perPoint, 0, 0, -perPoint, 0, p.height * perPoint}, space: deviceGray, paint: deviceGray.start(),
		width: 1, miter: 10, scale: 1,
	}
	if err := look.run(text, p.resources, 0); err != nil {
		return nil, err
	}
	return on.places, b.r.sound()
}

// state is the graphics state, as far as it matters here (ISO 32000-1 8.4).
type state struct {
	ctm          matrix
	clip         *clip
	space        *space
	paint        paint
	width, miter float64
	round        bool // joins don't stick out
	// What is painted is mixed with what is beneath, by:
	faint, blends, masked bool
	veiled                bool // whatever is painted is unknown

	font                             *font
	size, scale, char, word, leading float64
	rise                             float64
	mode                             int
}

// look is a reading of one page.
type look struct {
	*Book
	canvas *canvas
	state  state
	stack  []state

	path      *outline
	clips     bool // the path becomes a clip when it is painted
	evenClip  bool
	line, pen matrix // of text
	marked    []bool // marked content that is open: whether it veils
	veils     int    // how many of it do
	read      int    // bytes
	returns   bool   // there are carriage returns, which PDFium leaves in strings as they are
}

// errContent tells of content that this package doesn't understand.
var errContent = errors.New("content that isn't understood here")

// Bounds of what is looked at before a renderer is asked instead.
const (
	mostBytes = 64 << 20
	mostForms = 12 // in each other
	mostSaved = 256
	mostKept  = 4 << 20
)

// with returns what is filled with.
func (k *look) with() paint {
	if !k.plain() {
		return paint{}
	}
	return k.state.paint
}

// plain reports whether paint covers what it is painted on, for certain.
func (k *look) plain() bool {
	s := &k.state
	return !s.faint && !s.blends && !s.masked && !s.veiled && k.veils == 0
}

// run paints content.
func (k *look) run(text []byte, resources pdfobj.Dict, depth int) error {
	if k.read += len(text); k.read > mostBytes || depth > mostForms {
		return errContent
	}
	base := len(k.stack)
	returns := k.returns
	k.returns = bytes.IndexByte(text, '\r') >= 0
	content := scan(text)
	for content.Next() {
		op := content.Latest()
		if op.Operator == "Q" && len(k.stack) == base {
			return errContent
		}
		if err := k.do(op, resources, depth); err != nil {
			return err
		}
	}
	if err := ended(content); err != nil {
		return err
	}
	k.returns = returns
	if len(k.stack) > base { // what is open ends with the content
		k.state, k.stack = k.stack[base], k.stack[:base]
	}
	return k.ctx.Err()
}

func (k *look) do(op *pdfobj.Operation, resources pdfobj.Dict, depth int) error {
	operator, list := op.Operator, op.Operands
	v, numbers := numbersOf(op)
	if numbers {
		if done, err := k.general(operator, v); done {
			return err
		}
		if done, err := k.construct(operator, v); done {
			return err
		}
		if k.placeText(operator, v) {
			return nil
		}
	}
	if done, err := k.colour(operator, list, v, resources); done {
		return err
	}
	if done, err := k.text(operator, list, resources); done {
		return err
	}
	return k.named(operator, list, resources, depth)
}
