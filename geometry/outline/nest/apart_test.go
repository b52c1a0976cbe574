package nest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"quoin/geometry"
	"quoin/geometry/apart"
	"quoin/geometry/outline"
	"quoin/geometry/trials"
)

// measured gives a frame's labels to the measure that shares no code with this
// package or with outline's distances.
func measured(l *geometry.Layout, o outline.Outline, tolerance geometry.Length, limit float64) apart.Least {
	shapes := map[geometry.Turn]*apart.Shape{}
	var labels []apart.Placed
	for _, s := range l.Station {
		if shapes[s.Turn] == nil {
			var rings [][]apart.Point
			for _, ring := range o.Turned(s.Turn).At(geometry.Position{}).Flatten(tolerance) {
				var r []apart.Point
				for _, p := range ring {
					r = append(r, apart.Point{X: float64(p.Across), Y: float64(p.Around)})
				}
				rings = append(rings, r)
			}
			shapes[s.Turn] = apart.New(rings...)
		}
		labels = append(labels, apart.Placed{Shape: shapes[s.Turn], By: apart.Point{X: float64(s.Trim.Min.Across), Y: float64(s.Trim.Min.Around)}})
	}
	return apart.Measure(labels, float64(l.Repeat), limit)
}

// drawn draws an outline at random: convex, concave, of squares (so that copies
// touch along whole sides and at corners), with slots that an arm just fits, or
// curved. Straight-sided ones are measured exactly.
func drawn(r *rand.Rand) (o outline.Outline, kind string, err error) {
	star := func(n int, low float64) []geometry.Position {
		var corners []geometry.Position
		for i := range n {
			reach := (low + (1-low)*r.Float64()) * 30e6
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			corners = append(corners, geometry.Position{Across: geometry.Length(reach * cos), Around: geometry.Length(reach * sin)})
		}
		return corners
	}
	a, b := 4+20*r.Float64(), 4+20*r.Float64()
	switch kind := []string{"convex", "star", "steps", "slot", "slanted", "curved", "ellipse", "arcs"}[r.IntN(8)]; kind {
	case "convex": // corners on an ellipse
		var corners []geometry.Position
		n := 3 + r.IntN(9)
		for i := range n {
			sin, cos := math.Sincos(2*math.Pi*float64(i)/float64(n) + a)
			corners = append(corners, geometry.Position{Across: geometry.FromMM((a + 4) * cos), Around: geometry.FromMM((b + 4) * sin)})
		}
		o, err = outline.New(outline.Polygon(corners[0], corners[1:]...))
		return o, kind, err
	case "star":
		corners := star(3+r.IntN(12), 0.2)
		o, err = outline.New(outline.Polygon(corners[0], corners[1:]...))
		return o, kind, err
	case "steps": // an L, T or Z of whole squares
		q := geometry.FromMM(a)
		sq := func(x, y geometry.Length) geometry.Position { return geometry.Position{Across: x * q, Around: y * q} }
		corners := [][]geometry.Position{
			{sq(0, 0), sq(1, 0), sq(1, 2), sq(3, 2), sq(3, 3), sq(0, 3)},
			{sq(0, 0), sq(3, 0), sq(3, 1), sq(2, 1), sq(2, 3), sq(1, 3), sq(1, 1), sq(0, 1)},
			{sq(0, 0), sq(2, 0), sq(2, 1), sq(3, 1), sq(3, 2), sq(1, 2), sq(1, 1), sq(0, 1)},
			{sq(1, 0), sq(2, 0), sq(2, 1), sq(3, 1), sq(3, 2), sq(2, 2), sq(2, 3), sq(1, 3), sq(1, 2), sq(0, 2), sq(0, 1), sq(1, 1)},
		}[r.IntN(4)]
		o, err = outline.New(outline.Polygon(corners[0], corners[1:]...))
		return o, kind, err
	case "slot": // a U whose arms fit its slot, or nearly
		slot := a
		if r.IntN(2) == 0 {
			slot = b
		}
		o, err = outline.New(outline.Polygon(at(0, 0), at(a, 0), at(a, b), at(a+slot, b), at(a+slot, 0), at(2*a+slot, 0), at(2*a+slot, 2*b), at(0, 2*b)))
		return o, kind, err
	case "slanted": // parallelograms and chevrons, which stack
		if r.IntN(2) == 0 {
			o, err = outline.New(outline.Polygon(at(a, 0), at(a+2*b, 0), at(2*b, 30), at(0, 30)))
		} else {
			o, err = outline.New(outline.Polygon(at(0, a), at(b, 0), at(2*b, a), at(2*b, 2*a), at(b, a), at(0, 2*a)))
		}
		return o, kind, err
	case "curved":
		corners := star(3+r.IntN(8), 0.5)
		c := outline.Contour{Start: corners[0]}
		for i, p := range append(corners[1:], corners[0]) {
			q, bend := corners[i], 0.2*r.Float64()-0.1
			dx, dy := float64(p.Across-q.Across), float64(p.Around-q.Around)
			mix := func(t, off float64) geometry.Position {
				return geometry.Position{Across: q.Across + geometry.Length(dx*t-dy*off), Around: q.Around + geometry.Length(dy*t+dx*off)}
			}
			c.Curve(mix(0.3, bend), mix(0.7, -bend), p)
		}
		o, err = outline.New(c)
		return o, kind, err
	case "ellipse":
		o, err = outline.Ellipse(geometry.Size{Across: geometry.FromMM(2 * a), Around: geometry.FromMM(2 * b)})
		return o, kind, err
	}
	c := outline.Contour{Start: at(0, a)} // a strip bent, which nests in itself
	c.Arc(at(2*b, a), 0.3)
	c.Line(at(2*b, 2*a))
	c.Arc(at(0, 2*a), -0.3)
	c.Close()
	o, err = outline.New(c)
	return o, "arcs", err
}

// TestNoOverlapEver lays 20 outlines, 60 in the long pass, or as many as
// QUOIN_OUTLINES says, at gaps
// of 0, 0.001, 1 and 3 mm and measures every layout, the ring around too, by
// package apart. 2,000 take some twenty minutes.
func TestNoOverlapEver(t *testing.T) {
	count := trials.Number(t, "QUOIN_OUTLINES", 20, 60)
	gaps := []geometry.Length{0, geometry.Micrometre, mm, 3 * mm}
	laid, layouts, kinds := 0, 0, map[string]int{}
	for seed := uint64(0); laid < count; seed++ {
		r := rand.New(rand.NewPCG(13, seed))
		o, kind, err := drawn(r)
		if err != nil {
			continue // its sides cross: drawn at random
		}
		q := Request{
			Web: geometry.Web{Width: geometry.FromMM(120 + 200*r.Float64())}, Shape: o, Gap: both(gaps[r.IntN(4)]),
			Repeat: geometry.Repeat{Max: geometry.FromMM(150 + 250*r.Float64())},
			Turns:  [][]geometry.Turn{{0}, {0, 2}, {1, 3}}[r.IntN(3)], Seam: Seam(r.IntN(2)),
		}
		if r.IntN(4) == 0 {
			q.Gap.Across = gaps[r.IntN(4)]
		}
		if r.IntN(3) == 0 {
			q.Repeat = geometry.FixedRepeat(q.Repeat.Max)
		}
		found, err := Plan(q)
		if err != nil {
			continue // too large for the frame
		}
		laid++
		kinds[kind]++
		if laid%100 == 0 {
			t.Logf("%d outlines, %d layouts so far", laid, layouts)
		}
		for _, a := range found.Arrangements {
			layouts++
			name := fmt.Sprintf("seed %d, %s, gap %s, %s on %s, turns %v, seam %d", seed, kind, q.Gap, a.Pattern, a.Layout.Repeat, q.Turns, q.Seam)
			tolerance, depth := geometry.Nanometre, 1e-3 // what float64 leaves
			if !straightSided(o) {
				// Curves may overlap by 20 nm, and each chord lies 200 nm inside.
				tolerance, depth = 200*geometry.Nanometre, 220
			}
			least := min(q.Gap.Across, q.Gap.Around)
			m := measured(a.Layout, o, tolerance, float64(least+mm))
			if m.Depth > depth || depth < 1 && m.Area > 1000 {
				t.Errorf("%s: overlap of %g nm2, %g nm deep", name, m.Area, m.Depth)
			}
			if m.Distance < float64(least)-1-2*depth {
				t.Errorf("%s: %g nm apart", name, m.Distance)
			}
			split := a.Layout.Split()
			if split.Matrix < 0 || split.Label > 100 {
				t.Errorf("%s: a matrix of %g %%", name, split.Matrix)
			}
			if a.PerMetre() > found.Bound*(1+1e-9) {
				t.Errorf("%s: %g labels to the metre, beyond the bound of %g by %s", name, a.PerMetre(), found.Bound, found.BoundBy)
			}
			if q.Seam == Apart && a.Crossing > 0 {
				t.Errorf("%s: %d labels across the seam", name, a.Crossing)
			}
		}
	}
	t.Logf("%d outlines, %d layouts: %v", laid, layouts, kinds)
}
