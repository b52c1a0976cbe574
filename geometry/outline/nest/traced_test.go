package nest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/geometry/trials"
)

// traced gives outlines of 2,000 corners, as traced drawings have them.
func traced(t testing.TB) []shape {
	const n = 2000
	ring := func(reach func(i int) float64) outline.Outline {
		var corners []geometry.Position
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
			far := reach(i)
			corners = append(corners, at(far*cos, 0.7*far*sin))
		}
		return need(t)(outline.New(outline.Polygon(corners[0], corners[1:]...)))
	}
	wave := func(times, depth float64) func(i int) float64 {
		return func(i int) float64 { return 25 + depth*math.Sin(times*2*math.Pi*float64(i)/n) }
	}
	r := rand.New(rand.NewPCG(2000, 13))
	return []shape{
		{"smooth", ring(wave(5, 5))},
		{"teeth", ring(func(i int) float64 { return 25 + 0.3*float64(i%2) })},
		{"deep teeth", ring(func(i int) float64 { return 22 + 3*float64(i%2) })},
		{"wave", ring(wave(100, 1))},
		{"star", ring(func(i int) float64 { return 12 + 13*math.Abs(math.Mod(float64(i)*40/n, 2)-1) })},
		{"noise", ring(func(int) float64 { return 24 + r.Float64() })},
		{"comb", comb(t, n/4)},
		{"spiral", spiral(t, n/2)},
		{"gear", gear(t, n/8)},
	}
}

// comb has so many upright prongs on a back, each of four corners, and a long leg
// at its end.
func comb(t testing.TB, prongs int) outline.Outline {
	corners := []geometry.Position{at(60, 0), at(66, 0), at(66, 30), at(0, 30)}
	pitch := 60 / float64(prongs)
	for i := range prongs {
		x := float64(i) * pitch
		corners = append(corners, at(x, 8), at(x+pitch/2, 8), at(x+pitch/2, 20), at(x+pitch, 20))
	}
	return need(t)(outline.New(outline.Polygon(corners[0], corners[1:]...)))
}

// spiral is a band wound two and a half times, with so many corners to each side.
func spiral(t testing.TB, n int) outline.Outline {
	var corners []geometry.Position
	for i := range n {
		turn := 5 * math.Pi * float64(i) / float64(n-1)
		sin, cos := math.Sincos(turn)
		corners = append(corners, at((6+1.4*turn)*cos, (6+1.4*turn)*sin))
	}
	for i := range n {
		turn := 5 * math.Pi * float64(n-1-i) / float64(n-1)
		sin, cos := math.Sincos(turn)
		corners = append(corners, at((3+1.4*turn)*cos, (3+1.4*turn)*sin))
	}
	return need(t)(outline.New(outline.Polygon(corners[0], corners[1:]...)))
}

// gear has teeth whose flanks are lines and whose tips and roots are arcs; each
// tooth has four segments and shows as eight corners or more.
func gear(t testing.TB, teeth int) outline.Outline {
	place := func(reach, turn float64) geometry.Position {
		sin, cos := math.Sincos(2 * math.Pi * turn / float64(teeth))
		return at(reach*cos, reach*sin)
	}
	c := outline.Contour{Start: place(24, 0)}
	for i := range teeth {
		k := float64(i)
		c.Line(place(24.6, k+0.2))
		c.Arc(place(24.6, k+0.5), 0.7)
		c.Line(place(24, k+0.7))
		c.Arc(place(24, k+1), -0.7)
	}
	c.Segments[len(c.Segments)-1].To = c.Start
	return need(t)(outline.New(c))
}

// TestTraced: fine teeth, waves and slots neither keep labels from nesting as
// their large lines do, nor let them overlap. What is gained over the straight
// grid, at gaps of 0, 1 and 3 mm, is what was reached when this was written: each
// shape at one gap, and at all in the long pass.
func TestTraced(t *testing.T) {
	gains := map[string][3]float64{
		"smooth": {1.547, 1.503, 1.406}, "teeth": {1.176, 1.168, 1.167}, "deep teeth": {1.182, 1.170, 1.167},
		"wave": {1.210, 1.176, 1.082}, "star": {1.466, 1.419, 1.226}, "noise": {1.183, 1.173, 1.168},
		"comb": {1.154, 1.298, 1.253}, "spiral": {2.197, 1.891, 1.172}, "gear": {1.178, 1.161, 1.167},
	}
	for k, s := range traced(t) {
		for i, gap := range [...]geometry.Length{0, mm, 3 * mm} {
			if testing.Short() && i != 1 || !testing.Short() && !trials.Long() && (k%2 > 0 || i != k/2%3) {
				continue
			}
			name := fmt.Sprintf("%s at %s", s.name, gap)
			r := plan(t, Request{Web: geometry.Web{Width: 330 * mm}, Shape: s.o, Gap: both(gap), Repeat: geometry.Repeat{Max: 980 * mm},
				Turns: []geometry.Turn{0, 2}})
			if gain := r.Best().PerMetre() / r.Of(Straight).PerMetre(); gain < gains[s.name][i]-0.001 {
				t.Errorf("%s: a gain of %.4f over the straight grid, want %.3f", name, gain, gains[s.name][i])
			}
			if r.Best().PerMetre() > r.Bound {
				t.Errorf("%s: %.2f labels to the metre, beyond the bound of %.2f", name, r.Best().PerMetre(), r.Bound)
			}
			tolerance, depth := geometry.Nanometre, 1e-3
			if !straightSided(s.o) {
				tolerance, depth = 200*geometry.Nanometre, 220
			}
			m := measured(r.Best().Layout, s.o, tolerance, float64(gap+mm))
			if m.Depth > depth || m.Distance < float64(gap)-1-2*depth {
				t.Errorf("%s: %s labels %g nm apart, %g nm inside each other", name, r.Best().Pattern, m.Distance, m.Depth)
			}
		}
	}
}
