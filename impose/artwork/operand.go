package artwork

import (
	"quoin/impose/pdfobj"
)

func matrix(v []float64) (m Matrix) {
	copy(m[:], v)
	return m
}

// last returns the last n operands: an operator takes those.
func last[T any](args []T, n int) []T {
	return args[max(0, len(args)-n):]
}

// operands are those of the operation that runs, as numbers or as objects. What it
// gives holds until the next one.
type operands struct {
	floats  []float64
	objects []pdfobj.Object
}

// values returns the operands as numbers.
func (o *operands) values(op *pdfobj.Operation) []float64 {
	if len(op.Operands) == 0 {
		return op.Numbers
	}
	return o.numbers(op.Operands)
}

func (o *operands) numbers(args []pdfobj.Object) []float64 {
	o.floats = o.floats[:0]
	for i := range args {
		o.floats = append(o.floats, pdfobj.NumberAt(args, i))
	}
	return o.floats
}

// list returns the operands as objects.
func (o *operands) list(op *pdfobj.Operation) []pdfobj.Object {
	if len(op.Numbers) == 0 {
		return op.Operands
	}
	o.objects = o.objects[:0]
	for _, v := range op.Numbers {
		o.objects = append(o.objects, pdfobj.Real(v))
	}
	return o.objects
}

// at returns value i; what is missing is 0.
func at(v []float64, i int) float64 {
	if i < len(v) {
		return v[i]
	}
	return 0
}
