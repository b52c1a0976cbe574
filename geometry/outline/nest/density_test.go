package nest

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/geometry/trials"
)

// TestDensities holds the patterns, apart from web and frame, against the
// densest packings that are known. Polygons of squares and the others here tile
// the plane, as anyone can draw; circles reach pi/(2 sqrt 3) and no more (A.
// Thue 1890, L. Fejes Toth 1940), and so do ellipses, which are circles drawn
// out. On one of the webs the columns of each fit without a rest: elsewhere the
// lanes are spread over the web, at no loss of labels. The webs after that are for
// the long pass.
func TestDensities(t *testing.T) {
	circle := math.Pi / (2 * math.Sqrt(3))
	known := map[string]float64{
		"circle": circle, "ellipse": circle, "triangle": 1, "hexagon": 1, "ell": 1, "tee": 1, "u": 1, "chevron": 1,
		"cross": 1, "parallelogram": 1, "trapezoid": 1,
	}
	for _, s := range shapes(t) {
		want, ok := known[s.name]
		if !ok {
			continue
		}
		best := 0.0
		for _, web := range [...]geometry.Length{1000 * mm, 1010 * mm, 1020 * mm} {
			r := plan(t, Request{Web: geometry.Web{Width: web}, Shape: s.o, Repeat: geometry.Repeat{Max: 980 * mm}, Turns: []geometry.Turn{0, 2}})
			for _, a := range r.Arrangements {
				best = max(best, a.Density())
			}
			if best > want*(1-1e-4) && !trials.Long() {
				break
			}
		}
		t.Logf("%s: %.6f of %.6f", s.name, best, want)
		if math.Abs(best-want) > 1e-4*want {
			t.Errorf("%s: the density is %.6f, want %.6f", s.name, best, want)
		}
	}
}

// TestNeverWorse compares with what the search of two level rows, which this
// one came after, reached, and with the bound: on every fifth line of the list, which
// goes through shapes, webs, gaps and turns by turns, and in the long pass on all.
func TestNeverWorse(t *testing.T) {
	by := map[string]shape{}
	for _, s := range shapes(t) {
		by[s.name] = s
	}
	f, err := os.Open("testdata/two-rows.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	turns := [][]geometry.Turn{{0}, {0, 2}, {0, 1, 2, 3}}
	line, seen := 0, 0
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		var name string
		var web, gap float64
		var kind, labels int
		var repeat geometry.Length
		if _, err := fmt.Sscan(lines.Text(), &name, &web, &gap, &kind, &labels, &repeat); err != nil {
			t.Fatal(err)
		}
		if line++; line%10 > 0 && !trials.Long() {
			continue
		}
		seen++
		r := plan(t, Request{Web: geometry.Web{Width: geometry.FromMM(web)}, Shape: by[name].o, Gap: both(geometry.FromMM(gap)),
			Repeat: geometry.Repeat{Max: 980 * mm}, Turns: turns[kind]})
		if share := r.Best().PerMetre() / r.Bound; share > 1 {
			t.Errorf("%s: %.5f of the bound by %s", lines.Text(), share, r.BoundBy)
		}
		// A hair for the nanometres in which two ways to settle may differ.
		if before := float64(labels) / repeat.Metres(); r.Best().PerMetre() < before*(1-1e-6) {
			t.Errorf("%s: %.4f labels to the metre by %s rows, %.4f before", lines.Text(), r.Best().PerMetre(), r.Best().Pattern, before)
		}
	}
	if seen == 0 {
		t.Fatal("nothing to compare with")
	}
}
