package vary_test

import (
	"context"
	"io"
	"path/filepath"
	"testing"

	"quoin/geometry"
	"quoin/impose/barcode"
	"quoin/impose/draw/typeface"
	"quoin/impose/vary"
	"quoin/impose/witness"
)

// BenchmarkShaped writes labels with a line in a customer's font beside two symbols, and
// prints how fast that is as a multiple of the press.
func BenchmarkShaped(b *testing.B) {
	const count = 20_000
	path := witness.Font(b, "NotoSans-Regular")
	face, err := typeface.Open(path, path)
	if err != nil {
		b.Fatal(err)
	}
	field := textField()
	field.Value = "Lot HL-{n}"
	field.Letters.Fonts = []vary.Font{{File: filepath.Base(path), Face: face}}
	matrix := qrField()
	matrix.Name, matrix.At, matrix.Symbol = "matrix", geometry.Position{Across: 8 * mm, Around: 30 * mm}, &vary.Symbol{Kind: barcode.DataMatrix, Wish: barcode.Wish{X: 500_000, DPI: 600}}
	matrix.Value = "{n}"
	p := plan(b, count, field, qrField(), matrix)
	p.Layout = layout(b, 0, 9)
	start := cpu(b)
	for b.Loop() {
		r := prepare(b, p)
		if err := r.WriteFrames(context.Background(), io.Discard, io.Discard, 0, r.Order.Frames(), nil); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.N)*count/(cpu(b)-start), "labels/cpu-s")
	b.ReportMetric(float64(b.N)*count/(cpu(b)-start)/perSecond, "x-press-cpu")
}
