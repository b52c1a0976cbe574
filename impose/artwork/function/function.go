// Package function evaluates PDF functions (ISO 32000-1 7.10): the tint
// transforms that say what a spot looks like, and the colours of shadings.
// The rules of the four function types are those of 7.10.2 to 7.10.5.
package function

import (
	"errors"
	"fmt"
	"math"

	"quoin/impose/pdfobj"
)

// Function maps numbers to numbers.
type Function struct {
	domain []float64 // pairs, one for each input
	rng    []float64 // pairs, one for each output; nil if not clipped
	kind   kind
	out    int
}

// kind is one of the four function types. The inputs are inside the domain.
type kind interface{ at(in []float64) []float64 }

// ErrFunction means that an object is no function that can be evaluated.
var ErrFunction = errors.New("not a usable function")

// maxDepth bounds stitched functions inside stitched functions.
const maxDepth = 16

// Reader reads functions of one document within a budget.
type Reader struct {
	doc  *pdfobj.Document
	left int64 // bytes of tables and programs that may still be read
}

// NewReader returns a reader for which the tables and programs of all functions
// together may have so many bytes. A function counts for a kilobyte at least:
// stitched functions can share their parts, so that a small file unfolds to
// any number.
func NewReader(doc *pdfobj.Document, budget int64) *Reader { return &Reader{doc, budget} }

// spend takes from the budget; it fails with pdfobj.ErrBudget.
func (r *Reader) spend(bytes int64) error {
	if r.left -= bytes; r.left < 0 {
		return fmt.Errorf("%w: too many functions", pdfobj.ErrBudget)
	}
	return nil
}

// Parse reads a function, or an array of functions with one output each that
// stand for one with many (as shadings have them). It fails with ErrFunction,
// pdfobj.ErrBudget or an error of the document.
func (r *Reader) Parse(o pdfobj.Object) (*Function, error) {
	o, err := r.doc.Resolve(o)
	if err != nil {
		return nil, err
	}
	if list, ok := o.(pdfobj.Array); ok {
		return r.parseList(list)
	}
	return r.parse(o, 0)
}

// Inputs returns the number of inputs.
func (f *Function) Inputs() int { return len(f.domain) / 2 }

// Outputs returns the number of outputs.
func (f *Function) Outputs() int { return f.out }

// Domain returns the limits of input i.
func (f *Function) Domain(i int) (low, high float64) { return f.domain[2*i], f.domain[2*i+1] }

// At evaluates the function. Inputs are clipped to the domain, outputs to the
// range; inputs that are missing count as 0, and those too many are ignored.
func (f *Function) At(in ...float64) []float64 {
	x := make([]float64, f.Inputs())
	copy(x, in)
	for i := range x {
		x[i] = clip(x[i], f.domain[2*i], f.domain[2*i+1])
	}
	y := f.kind.at(x)
	for i := range y {
		if 2*i+1 < len(f.rng) {
			y[i] = clip(y[i], f.rng[2*i], f.rng[2*i+1])
		}
		if math.IsNaN(y[i]) {
			y[i] = 0 // 0 to a negative power, times 0
		}
	}
	return y
}

// clip is min and max in an order that turns a NaN into low.
func clip(x, low, high float64) float64 {
	switch {
	case x > high:
		return high
	case x >= low:
		return x
	}
	return low
}

func (r *Reader) parse(o pdfobj.Object, depth int) (*Function, error) {
	doc := r.doc
	if err := r.spend(1 << 10); err != nil {
		return nil, err
	}
	if depth > maxDepth {
		return nil, fmt.Errorf("%w: functions are nested too deeply", ErrFunction)
	}
	dict := doc.Dict(o)
	domain, ok := limits(doc, dict["Domain"])
	if !ok {
		return nil, fmt.Errorf("%w: it has no valid Domain", ErrFunction)
	}
	f := &Function{domain: domain}
	if dict["Range"] != nil {
		if f.rng, ok = limits(doc, dict["Range"]); !ok {
			return nil, fmt.Errorf("%w: its Range is not valid", ErrFunction)
		}
	}
	number, _ := doc.Int(dict["FunctionType"])
	var err error
	switch {
	case dict["FunctionType"] == nil:
		err = fmt.Errorf("%w: it has no FunctionType", ErrFunction)
	case number == 0:
		f.kind, f.out, err = r.parseSampled(doc.Stream(o), f)
	case number == 2:
		f.kind, f.out, err = parseExponential(doc, dict)
	case number == 3:
		f.kind, f.out, err = r.parseStitched(dict, f, depth)
	case number == 4:
		f.kind, f.out, err = r.parseCalculator(doc.Stream(o), f)
	default:
		err = fmt.Errorf("%w: there is no type %d", ErrFunction, number)
	}
	if err != nil {
		return nil, err
	}
	if number == 2 || number == 3 {
		if f.Inputs() != 1 {
			return nil, fmt.Errorf("%w: type %d has one input, not %d", ErrFunction, number, f.Inputs())
		}
	}
	return f, nil
}

// limits reads an array of pairs, each low to high.
func limits(doc *pdfobj.Document, o pdfobj.Object) ([]float64, bool) {
	v, ok := doc.Numbers(o)
	if !ok || len(v) < 2 || len(v)%2 != 0 || len(v) > 2*maxValues {
		return nil, false
	}
	for i := 0; i < len(v); i += 2 {
		if v[i] > v[i+1] {
			return nil, false
		}
	}
	return v, true
}

// maxValues bounds inputs and outputs: DeviceN has up to 32 colourants.
const maxValues = 64

// parseList reads functions that each give some of the outputs.
func (r *Reader) parseList(list pdfobj.Array) (*Function, error) {
	var parts together
	f := &Function{}
	for _, o := range list[:min(len(list), maxValues+1)] {
		part, err := r.parse(o, 0)
		if err != nil {
			return nil, err
		}
		if f.domain != nil && len(f.domain) != len(part.domain) {
			return nil, fmt.Errorf("%w: the functions of one array have not the same number of inputs", ErrFunction)
		}
		f.domain = part.domain
		f.out += part.out
		parts = append(parts, part)
	}
	if len(parts) == 0 || f.out > maxValues {
		return nil, fmt.Errorf("%w: an array of %d functions", ErrFunction, len(parts))
	}
	f.kind = parts
	return f, nil
}

type together []*Function

func (t together) at(in []float64) (out []float64) {
	for _, f := range t {
		out = append(out, f.At(in...)...)
	}
	return out
}
