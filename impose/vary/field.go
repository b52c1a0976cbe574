package vary

import (
	"cmp"
	"fmt"

	"quoin/geometry"
	"quoin/impose/barcode"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
	"quoin/impose/draw/typeface"
	"quoin/impose/gs1"
	"quoin/impose/say"
)

// Field is something on the label that differs from record to record. It is
// Letters, a Symbol or a Picture.
type Field struct {
	Name  string // for messages
	Value string // a template over the names of the records; "" with Elements
	// Elements are GS1 data, each value a template of its own, so that nothing in
	// a cell can be taken for an identifier.
	Elements []gs1.Element
	// Link is the domain of the GS1 Digital Link that the elements are written
	// as; "" leaves them element strings.
	Link string
	// At is where the field's corner stands that is nearest to the upright
	// label's top left, seen from there: Across to the right, Around down.
	At        geometry.Position
	Turn      geometry.Turn // on the upright label, counter-clockwise
	Ink       string        // printed solid, by one station
	Overprint bool          // leaves what is beneath in other inks
	Letters   *Letters
	Symbol    *Symbol
	Picture   *Room `json:",omitempty"` // Value names one of the plan's pictures
	// Inks are those that Ink may name, where it is a template over the records; nil
	// where it is an ink.
	Inks []string `json:",omitempty"`
}

// Room is what a picture has on the upright label. A page stands in the middle of
// it, at its own size, turned as its field is; a photograph is whole, or fills it.
type Room struct {
	Width, Height geometry.Length
	Fill          bool `json:",omitempty"`
}

// Named is a picture as records name it. A photograph was made for its room; a page
// of a PDF file has none.
type Named struct {
	Name string
	Room Room
}

// Picture is a page that records name.
type Picture struct {
	Art  int // among the artworks of the plan's setup
	Size geometry.Size
}

// Letters is how a field's text is set.
type Letters struct {
	Face  Face
	Cap   geometry.Length // height of capitals
	Width geometry.Length // room along the line
	Align Align
	Fit   Fit
	// Least is how far Shrink may go, as a height of capitals.
	Least geometry.Length
	// LeastShare is how far Squeeze may go, as a share of the width; default 0.7.
	LeastShare float64
	// Fonts are files of the customer's, instead of Face; a letter takes the first
	// that has it.
	Fonts []Font `json:",omitempty"`
	// Box is the height of a box in which the text is broken into lines; 0: the text
	// is one line. It needs Fonts.
	Box     geometry.Length `json:",omitzero"`
	Leading geometry.Length `json:",omitzero"` // from line to line; 0: as the font has it
}

// Face names a face of the lettering.
type Face string

// The faces.
const (
	Regular Face = "regular"
	Bold    Face = "bold"
	Mono    Face = "mono"
)

func (f Face) face() (*lettering.Face, error) {
	switch f {
	case Regular, "":
		return lettering.Regular(), nil
	case Bold:
		return lettering.Bold(), nil
	case Mono:
		return lettering.Mono(), nil
	}
	return nil, fmt.Errorf("there is no font %q: it is regular, bold or mono", string(f))
}

// Font returns the face as a font file, so that it can be shaped and broken into
// lines.
func (f Face) Font() (Font, error) {
	face, err := f.face()
	if err != nil {
		return Font{}, err
	}
	set, err := typeface.New("Go-"+string(cmp.Or(f, Regular)), face.File())
	return Font{File: string(f), Face: set}, err
}

// Align says where a line stands in its room.
type Align string

// The alignments.
const (
	Left   Align = "left"
	Centre Align = "centre"
	Right  Align = "right"
	Start  Align = "start" // left, or right for text that runs from right to left
	End    Align = "end"   // the other side
)

// Fit says what happens to text that is longer than its room.
type Fit string

// The rules. The law on food labels wants a least height of letters for what
// must be said (Regulation (EU) No 1169/2011, article 13): never shrink that.
const (
	Refuse  Fit = "refuse"  // the run is refused, with the record
	Shrink  Fit = "shrink"  // set smaller, down to Least
	Squeeze Fit = "squeeze" // set narrower, down to LeastShare
)

// defaultShare is how narrow letters may become and still look like letters;
// common practice, no source.
const defaultShare = 0.7

// Symbol is how a field's barcode is made.
type Symbol struct {
	Kind  barcode.Kind
	Level barcode.Level // of a QR Code
	// Modules is the least size of a matrix; all of a run get the size of the
	// largest.
	Modules int
	// Rectangular asks for a Data Matrix that is lower than it is long.
	Rectangular bool `json:",omitempty"`
	barcode.Wish
}

func (f *Field) paint() draw.Paint {
	p := draw.Solid(f.Ink)
	p.Overprint = f.Overprint
	return p
}

// check refuses a field that makes no sense by itself.
func (f *Field) check() error {
	switch {
	case f.Picture != nil && (f.Letters != nil || f.Symbol != nil):
		return fieldFault(f.Name, "make it one of the two", fmt.Errorf("it is a picture and something else"))
	case f.Picture != nil:
		return nil
	case f.Ink == "":
		return fieldFault(f.Name, "name the ink, as in Black", fmt.Errorf("it has no ink"))
	case (f.Letters == nil) == (f.Symbol == nil):
		return fieldFault(f.Name, "make it one of the two", fmt.Errorf("it is neither text nor a symbol"))
	case f.Symbol != nil:
		return nil
	}
	l := f.Letters
	switch {
	case l.Cap <= 0 || l.Width <= 0:
		return fieldFault(f.Name, "give the height of capitals and the width of the room", fmt.Errorf("text %s high in a room of %s can't be set", l.Cap, l.Width))
	case !l.Align.known():
		return fieldFault(f.Name, "write left, centre, right, start or end", fmt.Errorf("there is no alignment %q", string(l.Align)))
	case l.Fit != "" && l.Fit != Refuse && l.Fit != Shrink && l.Fit != Squeeze:
		return fieldFault(f.Name, "write refuse, shrink or squeeze", fmt.Errorf("there is no rule %q for text that is too long", string(l.Fit)))
	case l.Fit == Shrink && (l.Least <= 0 || l.Least > l.Cap):
		return fieldFault(f.Name, "give the least height of capitals", fmt.Errorf("shrinking from %s to %s can't be done", l.Cap, l.Least))
	case l.Box > 0 && (l.Fit == Squeeze || l.Box < l.Cap):
		return fieldFault(f.Name, "let fit be refuse or shrink, in a box that is no lower than its capitals", fmt.Errorf("lines can't be squeezed into a box %s high", l.Box))
	case l.LeastShare < 0 || l.LeastShare > 1:
		return fieldFault(f.Name, "give a share of the width, as in 70 %", fmt.Errorf("squeezing to %g can't be done", l.LeastShare))
	}
	return nil
}

// fieldFault says why a field can't be printed. An empty way out is that of the
// error.
func fieldFault(field, way string, err error) error {
	return &say.Refusal{Kind: say.BadFile, Text: "field " + field, Way: way, Err: err}
}
