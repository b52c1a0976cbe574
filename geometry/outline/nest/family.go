package nest

import (
	"math"
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// family is a kind of regular pattern: one label, or two, and their copies at
// all whole moves by (pitch, shear) across and (0, period) around. The period
// runs along the web, so that the pattern closes around the frame.
type family struct {
	turns   []geometry.Turn // of the label, and of the second if there are two
	sheared bool            // rows may slant
	size    geometry.Size
	gap     geometry.Size
	keeper  *keeper
	aa, ab  *touch  // moves of the first label against itself, of the second against the first
	low     float64 // least pitch across of a level row
	scratch [2][]interval
}

// pair reports whether two labels make the pattern.
func (f *family) pair() bool { return len(f.turns) == 2 }

// second gives the turn of the second label; of the only one, where there is no
// second.
func (f *family) second() geometry.Turn { return f.turns[len(f.turns)-1] }

// spot is one member of a family. Lengths in nanometres; the search uses
// fractions, the settled one has none.
type spot struct {
	pitch   float64 // across, between neighbours in a row
	shear   float64 // around, between neighbours in a row
	stagger float64 // across, of the second label
	step    float64 // around, of the second label; may be outside 0..period
	period  float64 // around, until the pattern comes again
}

// families gives all kinds of patterns that the turns allow for an outline.
func families(k *keeper, turns []geometry.Turn) ([]*family, error) {
	var out []*family
	for i, t := range turns {
		if slices.Contains(turns[:i], t.Plus(geometry.Turn180)) || slices.Contains(turns[:i], t) {
			continue // the same patterns upside down
		}
		upside := slices.Contains(turns, t.Plus(geometry.Turn180))
		found, fine, err := familiesOf(k, t, upside, thinly)
		if err != nil {
			return nil, err
		}
		out = append(out, found...)
		if fine {
			if found, _, err = familiesOf(k, t, upside, filled); err != nil {
				return nil, err
			}
			out = append(out, found...)
		}
	}
	return out, nil
}

// familiesOf gives the kinds of patterns of an outline at a turn, as it is seen,
// with those of labels upside down against it; and whether filling would show
// more of it.
func familiesOf(k *keeper, t geometry.Turn, upside bool, as sight) (out []*family, fine bool, err error) {
	a := k.turned(t)
	rings, fine := polygons(a, as)
	grown, err := grow(rings, k.gap)
	if err != nil { // thinning made the sides of a narrow slit cross
		as = wholly
		rings = few(a)
		if grown, err = grow(rings, k.gap); err != nil {
			return nil, false, err
		}
	}
	f := family{turns: []geometry.Turn{t}, size: a.Bounds().Size(), gap: k.gap, keeper: k, aa: newTouch(grown, rings)}
	f.low = f.leastPitch()
	level, slanted, staggered := f, f, f
	slanted.sheared = true
	staggered.turns, staggered.ab = []geometry.Turn{t, t}, f.aa
	out = append(out, &level, &slanted, &staggered)
	if upside {
		u := t.Plus(geometry.Turn180)
		b := k.turned(u)
		other, _ := polygons(b, as)
		if as == wholly {
			other = few(b)
		}
		pair := f
		pair.turns, pair.ab = []geometry.Turn{t, u}, newTouch(grown, other)
		slantedPair := pair
		slantedPair.sheared = true
		out = append(out, &pair, &slantedPair)
	}
	return out, fine, nil
}

// few gives the outline's rings whole, or the convex line around them where they
// have too many corners.
func few(o outline.Outline) [][]vec {
	rings, _ := polygons(o, wholly)
	if corners(rings) > mostCorners {
		rings = [][]vec{hull(rings)}
	}
	return rings
}

// hairline is by how much less than the gap the search keeps labels apart, in
// nanometres. An arm that just fits into a slot could otherwise stand there at
// one place only, with no room on either side that a search could see; what it
// finds is settled on the true outlines after.
const hairline = 4 * geometry.Nanometre

// grow gives the rings grown by the gap, less the hairline.
func grow(rings [][]vec, gap geometry.Size) ([][]vec, error) {
	o, err := outlineOf(rings...)
	if err != nil {
		return nil, err
	}
	least, along := least2(gap)
	if o, err = o.Swept(along).Outset(least - hairline); err != nil {
		return nil, err
	}
	rings, _ = polygons(o, thinly)
	return rings, nil
}

// rowsOf gives the moves around that are forbidden for a shape against a whole
// row, whose members stand at the pitch from the move across, each further
// around by the shear.
func rowsOf(t *touch, across, pitch, shear float64, scratch []interval) []interval {
	out := scratch[:0]
	for k := math.Ceil((-t.reach - across) / pitch); across+k*pitch <= t.reach; k++ {
		n := len(out)
		out = t.forbidden(across+k*pitch, out)
		for i := n; i < len(out); i++ {
			out[i].lo -= k * shear
			out[i].hi -= k * shear
		}
	}
	return joined(out)
}

// rowStands reports whether the labels of one row keep the gap from each other.
func (f *family) rowStands(pitch, shear float64) bool {
	for k := 1.0; k*pitch <= f.aa.reach; k++ {
		f.scratch[0] = f.aa.forbidden(k*pitch, f.scratch[0][:0])
		if inside(k*shear, f.scratch[0]) {
			return false
		}
	}
	return true
}

// shears gives the slants at which neighbours in a row of the pitch touch.
func (f *family) shears(pitch float64) []float64 {
	out := []float64{0}
	for k := 1.0; k*pitch <= f.aa.reach && k <= mostAbreast; k++ {
		f.scratch[0] = f.aa.forbidden(k*pitch, f.scratch[0][:0])
		for _, v := range f.scratch[0] {
			out = append(out, v.lo/k, v.hi/k)
		}
	}
	return out
}

// solve gives the step and the least period around for the pitch, the shear
// and the stagger. A period is least where something touches: the next first
// row the last, or the second row's neighbours below and above.
func (f *family) solve(pitch, shear, stagger float64) (step, period float64) {
	if shear != 0 && !f.rowStands(pitch, shear) {
		return 0, math.Inf(1)
	}
	same := rowsOf(f.aa, 0, pitch, shear, f.scratch[0])
	f.scratch[0] = same
	var periods []float64
	for _, v := range same {
		periods = append(periods, v.hi, v.hi/2)
	}
	if !f.pair() {
		slices.Sort(periods)
		for _, p := range periods {
			if p > 0 && free(0, p, same, true) {
				return 0, p
			}
		}
		return 0, math.Inf(1)
	}
	cross := rowsOf(f.ab, stagger, pitch, shear, f.scratch[1])
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

// free reports whether y and all its neighbours at whole periods keep out of the
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
