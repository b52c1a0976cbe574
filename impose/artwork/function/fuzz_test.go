package function

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"quoin/impose/pdfobj"
)

// FuzzFunctions parses and evaluates any bytes as the program of a calculator
// and as the table of a sampled function.
func FuzzFunctions(f *testing.F) {
	f.Add([]byte("{ 360 mul sin 2 div exch 360 mul sin 2 div add }"), uint8(8), 2)
	f.Add([]byte("{ dup 0.5 gt { pop 1 } { 2 mul } ifelse 3 1 roll }"), uint8(1), 300)
	f.Add([]byte("{ 2 copy 1 index exch atan not cvi 8 bitshift }"), uint8(12), 1)
	// Any document will do: the functions are made beside it.
	const empty = "%PDF-1.7\n1 0 obj <</Type/Catalog>> endobj trailer <</Root 1 0 R>>"
	doc, err := pdfobj.Open(strings.NewReader(empty), int64(len(empty)), pdfobj.Limits{})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, data []byte, bits uint8, size int) {
		pairs := pdfobj.Array{pdfobj.Integer(0), pdfobj.Real(1), pdfobj.Integer(-3), pdfobj.Integer(3)}
		for _, dict := range []pdfobj.Dict{
			{"FunctionType": pdfobj.Integer(4), "Domain": pairs, "Range": pairs},
			{"FunctionType": pdfobj.Integer(0), "Domain": pairs, "Range": pairs, "BitsPerSample": pdfobj.Integer(bits),
				"Size": pdfobj.Array{pdfobj.Integer(size), pdfobj.Integer(2)}},
		} {
			fn, err := NewReader(doc, 64<<20).Parse(pdfobj.NewStream(dict, bytes.Clone(data)))
			if err != nil {
				continue
			}
			for _, in := range [][]float64{{0, 0}, {1, -3}, {.3, 2.7}, {math.Inf(1), math.NaN()}} {
				out := fn.At(in...)
				if len(out) != 2 || !(out[0] >= 0 && out[0] <= 1) || !(out[1] >= -3 && out[1] <= 3) {
					t.Error(fmt.Sprint(in, out))
				}
			}
		}
	})
}
