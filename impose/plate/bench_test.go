package plate

import (
	"context"
	"testing"

	"quoin/impose/artwork"
	"quoin/impose/raster"
)

// BenchmarkLabel draws the six plates of a sample label at 300 to the inch.
func BenchmarkLabel(b *testing.B) {
	r, err := raster.New(context.Background(), func(string) {})
	if err != nil {
		b.Fatal(err)
	}
	defer r.Close()
	file, err := artwork.Open("../../samples/artwork/orchard-cider.pdf", artwork.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer file.Close()
	p, err := file.Page(1)
	if err != nil {
		b.Fatal(err)
	}
	plates := 0
	for b.Loop() {
		set := New(p, r, Options{})
		plates = len(set.Inks)
		if err := set.Draw(context.Background(), set.every(), func(int, Band) error { return nil }); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(plates), "plates")
}
