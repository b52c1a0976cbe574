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
	DPI    int             // of the device, in pixels per inch across the web
	Around int             // the same along its travel; 0: as across
	// Cut is how many pixels narrower than its modules each bar is drawn, for
	// ink that spreads: bar width reduction. Matrices are drawn as they are.
	Cut int
	// HealthCare asks for the sizes of a GS1-128 on medicines and devices that
	// are not scanned at a till.
	HealthCare bool
	// Warehouse asks for the modules that EAN symbols need in distribution.
	Warehouse bool
	Plain     bool // without the line that people read
}

// Size is how large the symbols of a kind are printed, in whole pixels of the
// device.
type Size struct {
	kind   Kind
	dots   dots // across the web
	x      int  // module
	height int  // of bars that run around
	quiet  limits
	plain  bool
	cut    int
	around axis // along the travel
}

// axis is the module along one of the frame's directions, and the height of bars
// that run along it.
type axis struct {
	dots      dots
	x, height int
}

// axes returns the module along the lines of a symbol and upright to them, for a
// symbol on the frame that stands on its side or not.
func (z Size) axes(swapped bool) (along, upright axis) {
	across := axis{z.dots, z.x, z.around.dots.scaled(z.height, z.dots)}
	if swapped {
		return z.around, across
	}
	return across, z.around
}

// The codes of warnings.
const (
	CodeLarge  = "barcode-large"  // the module is above the table
	CodeLow    = "barcode-low"    // the bars are lower than the table
	CodeLadder = "barcode-ladder" // the bars run across the web
)

// Fit returns the size that comes nearest to what is wanted in whole pixels: a
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
	if w.Around == 0 {
		w.Around = w.DPI
	}
	if w.Around < 1 || w.Around > 100_000 {
		return Size{}, nil, say.Refuse(say.Failed, "give the press's resolution, as in 1600x800dpi", "a device with %d pixels to the inch is not known", w.Around)
	}
	if w.HealthCare && k == GS1128 {
		t.least, t.most, t.height = healthCare.least, healthCare.most, healthCare.height
	}
	if w.Warehouse && t.grows {
		t.least, t.usual = distribution.least, distribution.usual
	}
	usual := w.X == 0
	if usual {
		w.X = t.usual
	}
	d := dots(min(w.DPI, w.Around)) // the coarser pixels decide
	x := d.nearest(w.X)
	if usual && d.length(x) < t.least {
		x = d.atLeast(t.least) // what nobody asked for is not refused
	}
	// A pixel's length is rounded to nanometres; a module is not refused for
	// half of one.
	if got := d.length(x); x < 1 || got < t.least {
		next := d.atLeast(t.least)
		return Size{}, nil, say.Refuse(say.Failed, fmt.Sprintf("take %d pixels: a module of %s", next, d.length(next)), "a %s with modules of %s comes out at %d pixels of %d dpi, which is %s, less than the %s that is allowed", k, w.X, x, d, got, t.least)
	}
	z := Size{kind: k, dots: dots(w.DPI), quiet: tables[k], plain: w.Plain || !k.Linear()}
	z.around.dots = dots(w.Around)
	z.x, z.around.x = z.dots.nearest(d.length(x)), z.around.dots.nearest(d.length(x))
	if k.Linear() {
		if z.cut = w.Cut; z.cut < 0 || 2*z.cut > min(z.x, z.around.x) {
			return Size{}, nil, say.Refuse(say.Failed, "take fewer pixels away, or larger modules", "bars %d pixels wide can't lose %d", min(z.x, z.around.x), w.Cut)
		}
	}
	var warnings []say.Note
	if got := d.length(x); t.most > 0 && got > t.most {
		warnings = append(warnings, say.Note{Code: CodeLarge, Text: fmt.Sprintf("the %s has modules of %s, more than the %s of the table", k, got, t.most)})
	}
	if k.Linear() {
		want := t.tallest(d.length(x), tables[k].usual)
		if w.Height == 0 {
			w.Height = want
		}
		z.height = z.around.dots.nearest(w.Height)
		z.around.height = z.height
		// The table's heights are rounded to 10 micrometres.
		if got := z.around.dots.length(z.height); got < want-d.length(1)-10*um {
			warnings = append(warnings, say.Note{Code: CodeLow, Text: fmt.Sprintf("the bars of the %s are %s high, less than the %s of the table: scanners that read from all sides may miss it", k, got, want)})
		}
		if z.height < 1 {
			return Size{}, nil, say.Refuse(say.Failed, "give the height of the bars", "bars %s high can't be printed", w.Height)
		}
	}
	return z, warnings, nil
}

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

// Outer returns the size of an upright symbol so large in modules, with its
// quiet zones and the line that people read. Where the device's pixels are not
// square, it is large enough for a symbol on its side too.
func (z Size) Outer(modules Extent) geometry.Size {
	var size geometry.Size
	for _, swapped := range []bool{false, true} {
		across, down := z.outer(modules, swapped)
		along, upright := z.axes(swapped)
		size.Across = max(size.Across, along.dots.length(across))
		size.Around = max(size.Around, upright.dots.length(down))
	}
	return size
}

// outer returns the same in pixels, of the symbol's own directions.
func (z Size) outer(modules Extent, swapped bool) (across, down int) {
	along, upright := z.axes(swapped)
	across = modules.Across + z.quiet.left + z.quiet.right
	if !z.kind.Linear() {
		return across * along.x, (modules.Down + 2*z.quiet.left) * upright.x
	}
	return across * along.x, upright.height + 2*z.bearer(upright) + z.textHeight(upright)
}

// bearer returns the thickness of the bars above and below an ITF-14, which keep
// scanners from reading half of it: at least 2 modules where no printing plate
// is used (onbarcode.com, ITF-14; gs1.se, size guide).
func (z Size) bearer(upright axis) int {
	if z.kind == ITF14 {
		return 2 * upright.x
	}
	return 0
}

// textHeight returns what the line below the bars takes: a gap and capitals of
// 8 1/3 modules, 2.75 mm at 0.33 mm as the digits of OCR-B have (from memory,
// not checked).
func (z Size) textHeight(upright axis) int {
	if z.plain {
		return 0
	}
	if len(digitGroups[z.kind]) == 0 && z.kind != ITF14 {
		return upright.gap() + upright.capHeight()*4/3 // room for what hangs below the line
	}
	return upright.gap() + upright.capHeight()
}

func (a axis) gap() int       { return a.x }
func (a axis) capHeight() int { return a.x * 25 / 3 }
