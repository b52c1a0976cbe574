package pdfobj

import "math"

// The typed helpers resolve o and return it if it is of that kind, and the
// zero value otherwise: most of what a reader asks for is optional, and what
// is of the wrong kind is as good as missing. Where it matters, use the
// ok, or [Document.Resolve]. An error of the source counts as null here;
// [Document.Err] keeps it.

func (d *Document) value(o Object) Object {
	v, err := d.Resolve(o)
	if err != nil {
		if d.err == nil {
			d.err = err
		}
		return nil
	}
	return v
}

// Err returns the first error that a typed helper had to swallow: a failure
// of the source, ErrBudget or the context's error. Damage in the file is none.
func (d *Document) Err() error { return d.err }

// Dict returns a dictionary, which may be that of a stream; nil otherwise.
func (d *Document) Dict(o Object) Dict {
	switch v := d.value(o).(type) {
	case Dict:
		return v
	case *Stream:
		return v.Dict
	}
	return nil
}

// Array returns an array, or nil.
func (d *Document) Array(o Object) Array {
	a, _ := d.value(o).(Array)
	return a
}

// Stream returns a stream, or nil.
func (d *Document) Stream(o Object) *Stream {
	s, _ := d.value(o).(*Stream)
	return s
}

// Name returns a name, or "".
func (d *Document) Name(o Object) Name {
	n, _ := d.value(o).(Name)
	return n
}

// String returns the bytes of a string; ok is false if o is none.
func (d *Document) String(o Object) (s String, ok bool) {
	s, ok = d.value(o).(String)
	return s, ok
}

// Int returns a whole number; a Real without a fraction counts.
func (d *Document) Int(o Object) (n int64, ok bool) {
	switch v := d.value(o).(type) {
	case Integer:
		return int64(v), true
	case Real:
		if v == Real(int64(v)) {
			return int64(v), true
		}
	}
	return 0, false
}

// Number returns a number of either kind.
func (d *Document) Number(o Object) (x float64, ok bool) {
	switch v := d.value(o).(type) {
	case Integer:
		return float64(v), true
	case Real:
		return float64(v), true
	}
	return 0, false
}

// Numbers returns an array of numbers; ok is false if any element is none.
func (d *Document) Numbers(o Object) (xs []float64, ok bool) {
	a, ok := d.value(o).(Array)
	if !ok {
		return nil, false
	}
	xs = make([]float64, len(a))
	for i, e := range a {
		if xs[i], ok = d.Number(e); !ok {
			return nil, false
		}
	}
	return xs, true
}

// Bool returns a boolean; ok is false if o is none.
func (d *Document) Bool(o Object) (b, ok bool) {
	b, ok = d.value(o).(bool)
	return b, ok
}

// NumberAt returns operand i of an operator as a number; what is none is 0.
func NumberAt(args []Object, i int) float64 {
	if i < 0 || i >= len(args) {
		return 0
	}
	switch v := args[i].(type) {
	case Integer:
		return float64(v)
	case Real:
		if !math.IsNaN(float64(v)) {
			return float64(v)
		}
	}
	return 0
}

// NameAt returns operand i of an operator as a name; what is none is "".
func NameAt(args []Object, i int) Name {
	if i < 0 || i >= len(args) {
		return ""
	}
	n, _ := args[i].(Name)
	return n
}
