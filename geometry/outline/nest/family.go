package nest

import (
	"math"
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// family is a pattern of one or two rows that repeats around the frame: the
// first row of shape a at 0, and of shape b moved by the stagger across and the
// step around.
type family struct {
	pattern Pattern
	turns   [2]geometry.Turn
	rows    int // that repeat: 1 or 2
	size    geometry.Size
	gap     geometry.Length
	a, b    *outline.Gauge  // both with their boxes at the origin
	aa, ab  *touch          // moves of a against a, of b against a
	low     geometry.Length // least pitch across
	scratch [2][]interval
}

// spot is one member of a family. Lengths in nanometres; the search uses
// fractions, the settled one has none.
type spot struct {
	pitch   float64 // across, between neighbours in a row
	stagger float64 // across, of the second row
	step    float64 // around, of the second row; may be outside 0..period
	period  float64 // around, until the first row comes again
}

// families gives all patterns that the turns allow for an outline.
func families(shape outline.Outline, gap geometry.Length, turns []geometry.Turn) ([]*family, error) {
	var out []*family
	for i, t := range turns {
		if slices.Contains(turns[:i], t.Plus(geometry.Turn180)) || slices.Contains(turns[:i], t) {
			continue // the same patterns upside down
		}
		a := shape.Turned(t).At(geometry.Position{})
		thin := true
		rings := polygons(a, thin)
		grown, err := grow(rings, gap)
		if err != nil { // thinning made the sides of a narrow slit cross
			thin = false
			rings = polygons(a, thin)
			if grown, err = grow(rings, gap); err != nil {
				return nil, err
			}
		}
		gauge, same := outline.NewGauge(a), newTouch(grown, rings)
		f := family{pattern: Interlocked, turns: [2]geometry.Turn{t, t}, rows: 1,
			size: a.Bounds().Size(), gap: gap, a: gauge, b: gauge, aa: same, ab: same}
		f.low = f.leastPitch()
		out = append(out, &f)
		second := f
		second.pattern, second.rows = Staggered, 2
		out = append(out, &second)
		if u := t.Plus(geometry.Turn180); slices.Contains(turns, u) {
			b := a.Turned(geometry.Turn180).At(geometry.Position{})
			third := second
			third.pattern, third.turns[1] = Alternating, u
			third.b, third.ab = outline.NewGauge(b), newTouch(grown, polygons(b, thin))
			out = append(out, &third)
		}
	}
	return out, nil
}

// grow gives the rings grown by the gap.
func grow(rings [][]vec, gap geometry.Length) ([][]vec, error) {
	contours := make([]outline.Contour, len(rings))
	for i, r := range rings {
		at := func(v vec) geometry.Position {
			return geometry.Position{Across: geometry.Length(v.x), Around: geometry.Length(v.y)}
		}
		contours[i].Start = at(r[0])
		for _, v := range r[1:] {
			contours[i].Line(at(v))
		}
		contours[i].Close()
	}
	o, err := outline.New(contours...)
	if err != nil {
		return nil, err
	}
	if o, err = o.Outset(gap); err != nil {
		return nil, err
	}
	return polygons(o, true), nil
}

// rowsOf gives the moves around that are forbidden for a shape against a whole
// row, whose members stand at the pitch from the move across.
func rowsOf(t *touch, across, pitch float64, scratch []interval) []interval {
	out := scratch[:0]
	first := math.Ceil((-t.reach - across) / pitch)
	for x := across + first*pitch; x <= t.reach; x += pitch {
		out = t.forbidden(x, out)
	}
	return joined(out)
}

// settleCoarse gives the step and the least period around for the pitch and
// stagger. A period is least where something touches: the next first row the
// last, or the second row's neighbours below and above.
func (f *family) settleCoarse(pitch, stagger float64) (step, period float64) {
	same := rowsOf(f.aa, 0, pitch, f.scratch[0])
	f.scratch[0] = same
	var periods []float64
	for _, v := range same {
		periods = append(periods, v.hi, v.hi/2)
	}
	if f.rows == 1 {
		slices.Sort(periods)
		for _, p := range periods {
			if p > 0 && free(0, p, same, true) {
				return 0, p
			}
		}
		return 0, math.Inf(1)
	}
	cross := rowsOf(f.ab, stagger, pitch, f.scratch[1])
	f.scratch[1] = cross
	for _, v := range cross {
		for _, w := range cross {
			periods = append(periods, v.hi-w.lo, (v.hi-w.lo)/2)
		}
	}
	slices.Sort(periods)
	for _, p := range periods {
		if p <= 0 || !free(0, p, same, true) {
			continue
		}
		for _, v := range cross {
			if free(v.hi, p, cross, false) {
				return v.hi, p
			}
		}
	}
	return 0, math.Inf(1)
}

// free tells whether y and all its neighbours at whole periods keep out of the
// forbidden stretches; others leaves y itself out.
func free(y, period float64, forbidden []interval, others bool) bool {
	if len(forbidden) == 0 {
		return true
	}
	lo, hi := forbidden[0].lo, forbidden[len(forbidden)-1].hi
	if (hi-lo)/period > 64 {
		return false // no label is so thin against its neighbours
	}
	for k := math.Ceil((lo - y) / period); y+k*period <= hi; k++ {
		if k == 0 && others {
			continue
		}
		if inside(y+k*period, forbidden) {
			return false
		}
	}
	return true
}
