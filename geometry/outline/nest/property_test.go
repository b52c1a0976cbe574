package nest

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/geometry/trials"
	"quoin/geometry/trials/draws"
)

// witness measures a finished frame with code of its own: corner by corner
// against side by side, over all pairs of labels whose boxes come near, with
// whole copies of the frame on both sides of it. It returns the least distance
// in nanometres, negative when a corner lies inside another label.
func witness(l *geometry.Layout, o outline.Outline, tolerance geometry.Length, near geometry.Length) float64 {
	rings := map[geometry.Turn][]vec{}
	for _, s := range l.Station {
		if rings[s.Turn] == nil {
			for _, p := range o.Turned(s.Turn).At(geometry.Position{}).Flatten(tolerance)[0] {
				rings[s.Turn] = append(rings[s.Turn], vec{float64(p.Across), float64(p.Around)})
			}
		}
	}
	type move struct {
		x, y geometry.Length
		a, b geometry.Turn
	}
	done := map[move]bool{}
	least := math.Inf(1)
	for i, s := range l.Station {
		for j, u := range l.Station {
			for _, shift := range []geometry.Length{-l.Repeat, 0, l.Repeat} {
				m := move{u.Trim.Min.Across - s.Trim.Min.Across, u.Trim.Min.Around - s.Trim.Min.Around + shift, s.Turn, u.Turn}
				if i == j && shift == 0 || done[m] || !s.Trim.Outset(near).Overlaps(u.Trim.Moved(geometry.Size{Around: shift})) {
					continue
				}
				done[m] = true
				least = min(least, apartBy(rings[s.Turn], rings[u.Turn], vec{float64(m.x), float64(m.y)}))
			}
		}
	}
	return least
}

func apartBy(a, b []vec, by vec) float64 {
	moved := make([]vec, len(b))
	for i, p := range b {
		moved[i] = p.plus(by)
	}
	least := min(cornersToSides(a, moved), cornersToSides(moved, a))
	if holdsCorner(a, moved) || holdsCorner(moved, a) {
		return -1
	}
	return least
}

func cornersToSides(a, b []vec) float64 {
	least := math.Inf(1)
	for _, p := range a {
		for i, q := range b {
			r := b[(i+1)%len(b)]
			d, w := r.minus(q), p.minus(q)
			t := min(max((d.x*w.x+d.y*w.y)/(d.x*d.x+d.y*d.y), 0), 1)
			least = min(least, math.Hypot(w.x-t*d.x, w.y-t*d.y))
		}
	}
	return least
}

// holdsCorner reports whether a corner of a lies well inside b.
func holdsCorner(a, b []vec) bool {
	for _, p := range a {
		odd := false
		for i, q := range b {
			r := b[(i+1)%len(b)]
			if (q.y > p.y) != (r.y > p.y) && q.x+(r.x-q.x)*(p.y-q.y)/(r.y-q.y) > p.x {
				odd = !odd
			}
		}
		if odd && cornersToSides([]vec{p}, b) > 1 {
			return true
		}
	}
	return false
}

// randomShape draws a polygon seen whole from its middle, so that the witness
// is exact.
func randomShape(t *rapid.T) outline.Outline {
	n := rapid.IntRange(3, 9).Draw(t, "corners")
	var corners []geometry.Position
	for i := range n {
		r := float64(rapid.IntRange(6_000_000, 40_000_000).Draw(t, "radius"))
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		corners = append(corners, geometry.Position{Across: geometry.Length(r * cos), Around: geometry.Length(r * sin)})
	}
	o, err := outline.New(outline.Polygon(corners[0], corners[1:]...))
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func randomRequest(t *rapid.T, o outline.Outline) Request {
	r := Request{
		Web:    geometry.Web{Width: geometry.Length(rapid.IntRange(100_000_000, 340_000_000).Draw(t, "web")), Edge: 4 * mm},
		Shape:  o,
		Gap:    both(geometry.Length(rapid.IntRange(0, 5_000_000).Draw(t, "gap"))),
		Bleed:  geometry.Length(rapid.IntRange(0, 2_000_000).Draw(t, "bleed")),
		Repeat: geometry.Repeat{Max: geometry.Length(rapid.IntRange(100_000_000, 600_000_000).Draw(t, "frame"))},
		Turns: rapid.SampledFrom([][]geometry.Turn{nil, {geometry.Turn0, geometry.Turn180},
			{geometry.Turn90, geometry.Turn270, geometry.Turn0, geometry.Turn180}}).Draw(t, "turns"),
		Seam: rapid.SampledFrom([]Seam{Running, Apart}).Draw(t, "seam"),
	}
	if rapid.Bool().Draw(t, "fixed") {
		r.Repeat = geometry.FixedRepeat(r.Repeat.Max)
	}
	return r
}

// TestNothingOverlaps holds every layout against the witness: the gap is kept to
// a nanometre, across the seam too, all labels lie in the band, and none of the
// promises about numbers is broken.
func TestNothingOverlaps(t *testing.T) {
	draws.Check(t, 8, func(t *rapid.T) {
		o := randomShape(t)
		q := randomRequest(t, o)
		r, err := Plan(q)
		if err != nil {
			t.Skip("does not fit")
		}
		for i, a := range r.Arrangements {
			l := a.Layout
			if got := witness(l, o, 1, q.Gap.Across+mm); got < float64(q.Gap.Across)-1 {
				t.Fatalf("%s: the gap is %g nm, want %d", a.Pattern, got, q.Gap.Across)
			}
			if got := witness(l, o, 1, q.Gap.Across+mm); got < float64(a.Clearance)-1 {
				t.Fatalf("%s: the clearance is %g nm, but said to be %v", a.Pattern, got, a.Clearance)
			}
			if i > 0 && a.beats(r.Best()) {
				t.Fatalf("%s beats what comes before it", a.Pattern)
			}
			if a.PerMetre() > r.Bound*(1+1e-9) {
				t.Fatalf("%s: %g labels to the metre, beyond the bound of %g", a.Pattern, a.PerMetre(), r.Bound)
			}
			sound(t, q, a)
		}
		if s := r.Of(Straight); s == nil || s.beats(r.Best()) {
			t.Fatalf("the straight grid is %+v, better than the best, %+v", s, r.Best())
		}
	})
}

// sound checks the stations' numbers, places and clips.
func sound(t *rapid.T, q Request, a *Arrangement) {
	l := a.Layout
	limit := q.Repeat.Max
	if q.Repeat.Fixed > 0 {
		limit = q.Repeat.Fixed
	}
	if l.Repeat > limit || q.Repeat.Fixed > 0 && l.Repeat != limit {
		t.Fatalf("%s: a repeat of %v on a frame of %v", a.Pattern, l.Repeat, limit)
	}
	margin := q.Web.Margin() + q.Bleed
	seen := map[[2]int]bool{}
	for _, s := range l.Station {
		if s.Trim.Min.Across < margin || s.Trim.Max.Across > q.Web.Width-margin {
			t.Fatalf("%s: lane %d stands at %v, outside the band", a.Pattern, s.Lane, s.Trim)
		}
		if q.Seam == Apart && a.Pattern != Straight && (s.Trim.Min.Around < q.Gap.Around/2 || s.Trim.Max.Around > l.Repeat-q.Gap.Around/2) {
			t.Fatalf("%s: row %d stands at %v, across the seam", a.Pattern, s.Row, s.Trim)
		}
		if s.Lane < 1 || s.Lane > l.Across || s.Row < 1 || s.Row > l.Around || seen[[2]int{s.Lane, s.Row}] {
			t.Fatalf("%s: lane %d, row %d is out of count or taken twice", a.Pattern, s.Lane, s.Row)
		}
		seen[[2]int{s.Lane, s.Row}] = true
		if s.Trim.Size() != l.Label || s.Room() > q.Bleed || 2*s.Room() > a.Clearance || s.Room() < 0 {
			t.Fatalf("%s: trim %v, clip %v", a.Pattern, s.Trim, s.Clip)
		}
		if !l.Block.Contains(s.Trim) {
			t.Fatalf("%s: the block %v leaves out %v", a.Pattern, l.Block, s.Trim)
		}
	}
}

// TestShapesKeepTheGap does the same for curves and arcs, whose witness is a
// finely flattened line: it may cut a corner by its tolerance on both sides.
func TestShapesKeepTheGap(t *testing.T) {
	const tolerance = 200 * geometry.Nanometre
	for i, s := range shapes(t) {
		for k, seam := range []Seam{Running, Apart} {
			if k != i%2 && !trials.Long() {
				continue
			}
			q := Request{Web: geometry.Web{Width: 250 * mm}, Shape: s.o, Gap: both(2500 * geometry.Micrometre),
				Repeat: geometry.Repeat{Max: 400 * mm}, Turns: []geometry.Turn{0, 2}, Seam: seam}
			r := plan(t, q)
			for _, a := range r.Arrangements {
				if s.name == "circle" {
					if got := centres(a.Layout) - 40e6; got < float64(q.Gap.Across)-1 {
						t.Errorf("circles, %s: the gap is %g nm", a.Pattern, got)
					}
					continue
				}
				if !trials.Long() && a != r.Best() {
					continue
				}
				if got := witness(a.Layout, s.o, tolerance*20, mm); got < float64(q.Gap.Across)-20*float64(tolerance) {
					t.Errorf("%s, %s: the gap is %g nm, want %d", s.name, a.Pattern, got, q.Gap.Across)
				}
			}
		}
	}
}

// centres gives the least distance of two centres, exactly, for circles.
func centres(l *geometry.Layout) float64 {
	least := math.Inf(1)
	for i, s := range l.Station {
		for j, u := range l.Station {
			for _, shift := range []geometry.Length{0, l.Repeat} {
				if i == j && shift == 0 {
					continue
				}
				x, y := u.Trim.Min.Across-s.Trim.Min.Across, u.Trim.Min.Around-s.Trim.Min.Around+shift
				least = min(least, math.Hypot(float64(x), float64(y)))
			}
		}
	}
	return least
}

// TestTouchAgainstOverlap: a move is forbidden exactly if the moved outline
// comes nearer than the gap, as measured by the outlines' own distance.
func TestTouchAgainstOverlap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := randomShape(t).At(geometry.Position{}), randomShape(t).At(geometry.Position{})
		gap := geometry.Length(rapid.IntRange(0, 5_000_000).Draw(t, "gap"))
		grown, err := grow(seen(a), both(gap))
		if err != nil {
			t.Fatal(err)
		}
		touch := newTouch(grown, seen(b))
		ga, gb := outline.NewGauge(a), outline.NewGauge(b)
		for range 20 {
			x := geometry.Length(rapid.IntRange(-90_000_000, 90_000_000).Draw(t, "x"))
			y := geometry.Length(rapid.IntRange(-90_000_000, 90_000_000).Draw(t, "y"))
			d := ga.Separation(gb, geometry.Size{Across: x, Around: y}, math.Inf(1))
			if math.Abs(d-float64(gap)) < 3*float64(coarse) || gap == 0 && math.Abs(d) < 3*float64(coarse) {
				continue
			}
			// Where corners of both shapes meet, forbidden stretches may meet without
			// covering the move between them. What the search finds is settled on the
			// true outlines, so that no such crack reaches a layout.
			if cornersMeet(seen(a), seen(b), vec{float64(x), float64(y)}) {
				continue
			}
			got, want := inside(float64(y), joined(touch.forbidden(float64(x), nil))), d < float64(gap)
			if got != want {
				t.Fatalf("the move %v, %v is forbidden: %v; the distance is %g nm, the gap %d", x, y, got, d, gap)
			}
		}
	})
}

// cornersMeet reports whether a corner of b, moved, lies on one of a, as closely
// as outlines are flattened for the search.
func cornersMeet(a, b [][]vec, move vec) bool {
	for _, ra := range a {
		for _, p := range ra {
			for _, rb := range b {
				for _, q := range rb {
					if d := q.plus(move).minus(p); math.Hypot(d.x, d.y) < 3*float64(coarse) {
						return true
					}
				}
			}
		}
	}
	return false
}
