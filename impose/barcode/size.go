package barcode

import (
	"fmt"

	"quoin/geometry"
	"quoin/impose/say"
)

// Wish says how large a symbol is wanted.
type Wish struct {
	X      geometry.Length // module; 0: as the tables have it
	Height geometry.Length // of the bars; 0: as the tables have it
	DPI    int             // of the device, in pixels per inch
	// Warehouse asks for the modules that EAN symbols need in distribution.
	Warehouse bool
	Plain     bool // without the line that people read
}

// Size is how large the symbols of a kind are printed, in whole pixels of the
// device.
type Size struct {
	kind   Kind
	dots   dots
	x      int // module
	height int // of the bars
	quiet  limits
	plain  bool
}

// The codes of warnings.
const (
	CodeLarge  = "barcode-large"  // the module is above the table
	CodeLow    = "barcode-low"    // the bars are lower than the table
	CodeLadder = "barcode-ladder" // the bars run across the web
)

// Fit gives the size that comes nearest to what is wanted in whole pixels: a
// module is rounded once, for all, and a symbol is never rescaled (GS1 General
// Specifications, 2018, p. 340). Modules that end up smaller than the tables
// allow are refused, and the error says which size would do.
func (k Kind) Fit(w Wish) (Size, []say.Note, error) {
	t, ok := tables[k]
	if !ok {
		return Size{}, nil, fmt.Errorf("there is no symbol called %q", string(k))
	}
	if w.DPI < 1 || w.DPI > 100_000 {
		return Size{}, nil, say.Refuse(say.Failed, "give the press's resolution, as in 1200dpi", "a device with %d pixels to the inch is not known", w.DPI)
	}
	if w.Warehouse && t.grows {
		t.least, t.usual = distribution.least, distribution.usual
	}
	if w.X == 0 {
		w.X = t.usual
	}
	d := dots(w.DPI)
	z := Size{kind: k, dots: d, x: d.nearest(w.X), quiet: tables[k], plain: w.Plain || !k.Linear()}
	// A pixel's length is rounded to nanometres; a module is not refused for
	// half of one.
	if got := d.length(z.x); z.x < 1 || got < t.least {
		next := d.atLeast(t.least)
		return Size{}, nil, say.Refuse(say.Failed, fmt.Sprintf("take %d pixels: a module of %s", next, d.length(next)), "a %s with modules of %s comes out at %d pixels of %d dpi, which is %s, less than the %s that is allowed", k, w.X, z.x, w.DPI, got, t.least)
	}
	var warnings []say.Note
	if got := d.length(z.x); t.most > 0 && got > t.most {
		warnings = append(warnings, say.Note{Code: CodeLarge, Text: fmt.Sprintf("the %s has modules of %s, more than the %s of the table", k, got, t.most)})
	}
	if k.Linear() {
		want := tables[k].tallest(d.length(z.x))
		if w.Height == 0 {
			w.Height = want
		}
		z.height = d.nearest(w.Height)
		// The table's heights are rounded to 10 micrometres.
		if got := d.length(z.height); got < want-d.length(1)-10*um {
			warnings = append(warnings, say.Note{Code: CodeLow, Text: fmt.Sprintf("the bars of the %s are %s high, less than the %s of the table: scanners that read from all sides may miss it", k, got, want)})
		}
		if z.height < 1 {
			return Size{}, nil, say.Refuse(say.Failed, "give the height of the bars", "bars %s high can't be printed", w.Height)
		}
	}
	return z, warnings, nil
}

// Module gives the module's size as printed.
func (z Size) Module() geometry.Length { return z.dots.length(z.x) }

// Direction warns of bars that run across the web: they blur with every slur
// of the press. Bars along the web, like a fence that one drives by, keep
// their widths (GS1 General Specifications, decodability). The turn is that of
// the symbol on the frame.
func (z Size) Direction(turn geometry.Turn) (say.Note, bool) {
	if !z.kind.Linear() || !turn.Swaps() {
		return say.Note{}, false
	}
	return say.Note{Code: CodeLadder, Text: fmt.Sprintf("the bars of the %s run across the web; turn the symbol or the label by 90 degrees so that they run along it", z.kind)}, true
}

// Outer gives the size of an upright symbol so many modules long, with its
// quiet zones and the line that people read.
func (z Size) Outer(modules int) geometry.Size {
	across, down := z.outer(modules)
	return geometry.Size{Across: z.dots.length(across), Around: z.dots.length(down)}
}

// outer gives the same in pixels.
func (z Size) outer(modules int) (across, down int) {
	across = (modules + z.quiet.left + z.quiet.right) * z.x
	if !z.kind.Linear() {
		return across, across
	}
	return across, z.height + 2*z.bearer() + z.textHeight()
}

// bearer gives the thickness of the bars above and below an ITF-14, which keep
// scanners from reading half of it: at least 2 modules where no printing plate
// is used (onbarcode.com, ITF-14; gs1.se, size guide).
func (z Size) bearer() int {
	if z.kind == ITF14 {
		return 2 * z.x
	}
	return 0
}

// textHeight gives what the line below the bars takes: a gap and capitals of
// 8 1/3 modules, 2.75 mm at 0.33 mm as the digits of OCR-B have (from memory,
// not checked).
func (z Size) textHeight() int {
	if z.plain {
		return 0
	}
	if len(digitGroups[z.kind]) == 0 && z.kind != ITF14 {
		return z.gap() + z.capHeight()*4/3 // room for what hangs below the line
	}
	return z.gap() + z.capHeight()
}

func (z Size) gap() int       { return z.x }
func (z Size) capHeight() int { return z.x * 25 / 3 }
