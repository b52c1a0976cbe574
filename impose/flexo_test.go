package impose

import (
	"context"
	"math"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
)

// TestPlateFactor: factor = (R - 2 pi t) / R, source: nvpublications.com, Can
// you explain a little about plate distortion, stretch factors. The values were
// worked out by hand: 304.8 mm and 1.14 mm give 0.976500; 12 in with a plate of
// 0.067 in on a backing of 0.005 in, 0.967537.
func TestPlateFactor(t *testing.T) {
	for _, c := range []struct {
		plate, backing, repeat geometry.Length
		factor, walk           float64
	}{
		{1140 * geometry.Micrometre, 0, 0, 0.976500, 0},
		{67 * geometry.Inch / 1000, 5 * geometry.Inch / 1000, 12 * geometry.Inch, 0.967537, 0},
		{1140 * geometry.Micrometre, 0, 300 * geometry.Millimetre, 0.976124, 4.8},
	} {
		j := job.New()
		j.WebWidth, j.Repeat.Fixed = 340*geometry.Millimetre, 304800*geometry.Micrometre
		j.Artworks = []job.Artwork{{File: inkedLabel(t, 1), Page: 1, Quantity: 1000}}
		j.Flexo = &job.FlexoUnit{For: "varnish", Plate: geometry.Plate{Thickness: c.plate, Backing: c.backing}, Repeat: c.repeat}
		im, err := Open(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		defer im.Close()
		s, err := im.Summary(Written{Pages: 1})
		if err != nil {
			t.Fatal(err)
		}
		if p := s.Flexo; math.Abs(p.Factor-c.factor) > 5e-7 || math.Abs(p.WalkMM-c.walk) > 1e-9 {
			t.Errorf("plate %s on %s around %s: %+v, want factor %f and walk %f", c.plate, c.backing, c.repeat, p, c.factor, c.walk)
		}
		walks := false
		for _, w := range s.Warnings {
			walks = walks || w.Code == "flexo-walk"
		}
		if walks != (c.walk > 0) {
			t.Errorf("walk %f: warned %v", c.walk, walks)
		}
	}
}
