package barcode

import (
	"fmt"

	"quoin/impose/checkdigit"
	"quoin/impose/gs1"
	"quoin/impose/say"
)

// Symbol is a symbol before it has a size: bars or modules.
type Symbol struct {
	Kind Kind
	// Bars are the widths of a linear symbol in modules: a bar, a space, a bar
	// and so on, a bar at either end; quiet zones are not among them.
	Bars []uint8
	// Grid holds the modules of a matrix symbol, without its quiet zone.
	Grid Grid
	// Text is what people read beside the symbol.
	Text string
}

// Modules returns the symbol's extent in modules without quiet zones; a linear
// symbol has a height of 0.
func (s *Symbol) Modules() (across, down int) {
	if !s.Kind.Linear() {
		return s.Grid.Cols, s.Grid.Rows
	}
	for _, w := range s.Bars {
		across += int(w)
	}
	return across, 0
}

// Extent is how large a symbol is, in modules without quiet zones; bars have no
// height.
type Extent struct{ Across, Down int }

// Larger returns what symbols of two extents have room in. Those of a Data Matrix
// come in steps, so that it is the larger of the two.
func (k Kind) Larger(a, b Extent) Extent {
	if k == DataMatrix || k == GS1DataMatrix {
		if a.Across*a.Down > b.Across*b.Down {
			return a
		}
		return b
	}
	return Extent{max(a.Across, b.Across), max(a.Down, b.Down)}
}

// Options change how data become a symbol. The zero value will do.
type Options struct {
	// Level is the error correction of a QR Code: L, M, Q or H, which mend
	// about 7, 15, 25 and 30 % of it (ISO/IEC 18004). Default M.
	Level Level
	// Least is the fewest modules along a side of a matrix symbol, so that the
	// symbols of one run have one size. 0: as few as the data need.
	Least int
	// Rectangular asks for a Data Matrix that is lower than it is long.
	Rectangular bool
}

// Encoder makes symbols of one kind, one after another, in memory that it uses
// again. It is not safe for use by several goroutines: give each its own.
type Encoder struct {
	kind    Kind
	options Options
	symbol  Symbol
	given   []gs1.Element // of GS1 data that were not written as text
	elems   []byte        // of GS1 data, with separators
	words   []byte        // codewords
	qr      qrBench
	matrix  matrixBench
	code128 code128Bench
	least   Extent // of a Data Matrix
}

// NewEncoder returns an encoder; unknown kinds and options are refused.
func NewEncoder(k Kind, o Options) (*Encoder, error) {
	if !k.Known() {
		return nil, fmt.Errorf("there is no symbol called %q", string(k))
	}
	if o.Level == "" {
		o.Level = LevelM
	}
	if o.Level.index() < 0 {
		return nil, fmt.Errorf("a QR Code has no error correction level %q: it is L, M, Q or H", string(o.Level))
	}
	if o.Least < 0 || o.Least > maxVersion*4+17 {
		return nil, fmt.Errorf("no matrix symbol has %d modules along a side", o.Least)
	}
	if o.Rectangular && k != DataMatrix && k != GS1DataMatrix {
		return nil, fmt.Errorf("a %s has no rectangular form", k)
	}
	return &Encoder{kind: k, options: o, symbol: Symbol{Kind: k}, least: Extent{o.Least, 0}}, nil
}

// Encode makes the symbol of one value. EAN, UPC and ITF-14 take their digits
// with the check digit, which is verified; GS1 symbols take element strings
// with their application identifiers in parentheses, "(01)09501101530003(10)A".
// The symbol is the encoder's own and holds until the next call.
func (e *Encoder) Encode(data string) (*Symbol, error) {
	if err := e.encode(data); err != nil {
		return nil, e.refuse(data, err)
	}
	return &e.symbol, nil
}

// EncodeElements makes the symbol of GS1 elements that need no parentheses to be
// told apart.
func (e *Encoder) EncodeElements(list []gs1.Element) (*Symbol, error) {
	e.given = list
	defer func() { e.given = nil }()
	return e.Encode(gs1.Text(list))
}

// refuse says which value can't become a symbol.
func (e *Encoder) refuse(data string, err error) error {
	return &say.Refusal{Text: fmt.Sprintf("%s of %q", e.kind, say.Clip(data, 200)), Err: err}
}

func (e *Encoder) encode(data string) error {
	e.symbol.Text = data
	switch {
	case e.kind == UPCE:
		return e.encodeUPCE(data)
	case e.kind.bar():
		return e.encodeDataBar(data)
	}
	if n := e.kind.digits(); n > 0 {
		return e.fixed(data, n)
	}
	if err := e.elements(data); err != nil {
		return err
	}
	switch e.kind {
	case Code128, GS1128:
		return e.encode128(e.elems, e.kind == GS1128)
	case QR, GS1QR:
		return e.encodeQR(e.elems, e.kind == GS1QR)
	case DataBarExpanded:
		return e.encodeExpanded(e.elems)
	case Code39:
		return e.encode39(data)
	case PDF417, Aztec:
		return e.encodeLibrary(data)
	}
	return e.encodeMatrix(e.elems, e.kind == GS1DataMatrix)
}

// elements keeps what the symbol will hold: the data, or GS1 element strings.
func (e *Encoder) elements(data string) (err error) {
	e.elems = e.elems[:0]
	switch {
	case data == "":
		return errNothing
	case e.kind.GS1():
		list := e.given
		if list == nil {
			if list, err = gs1.Parse(data); err != nil {
				return err
			}
		}
		e.elems, err = appendElements(e.elems, list)
		return err
	}
	e.elems = append(e.elems, data...)
	return nil
}

// fixed makes a symbol of n digits.
func (e *Encoder) fixed(data string, n int) error {
	if len(data) != n {
		return fmt.Errorf("it takes %d digits with the check digit, not %d characters", n, len(data))
	}
	if err := checkdigit.GS1.Verify(data); err != nil {
		return err
	}
	bars, err := libraryBars(e.kind, data)
	e.symbol.Bars = bars
	return err
}

var errNothing = say.Refuse(say.Failed, "give it a value, or leave the field off", "there is nothing to encode")
