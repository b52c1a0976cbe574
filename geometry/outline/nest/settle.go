package nest

import (
	"math"

	"quoin/geometry"
)

// placed is a spot in whole nanometres, with the labels of both members.
type placed struct {
	pitch, shear, stagger, step, period geometry.Length
	n                                   [2]int
}

// clearRow reports whether the label at turn b keeps the gap from a whole row of
// labels at turn a, and from those that stand whole periods from it; itself, at
// no move, is left out.
func (f *family) clearRow(a, b geometry.Turn, by geometry.Size, p placed, itself bool) bool {
	width, height := f.size.Across+f.gap.Across, f.size.Around+f.gap.Around
	k := geometry.FloorDiv(-width-by.Across, p.pitch) + 1
	for ; by.Across+k*p.pitch < width; k++ {
		y := by.Around + k*p.shear
		l := geometry.FloorDiv(-height-y, p.period) + 1
		for ; y+l*p.period < height; l++ {
			if itself && k == 0 && l == 0 {
				continue
			}
			if !f.keeper.keeps(a, b, geometry.Size{Across: by.Across + k*p.pitch, Around: y + l*p.period}) {
				return false
			}
		}
	}
	return true
}

// leastPitch gives the least pitch across from which on neighbours in a level
// row keep the gap: the box with the gap, or less where the shape leans.
func (f *family) leastPitch() float64 {
	box := float64(f.size.Across + f.gap.Across)
	const parts = 256
	k := parts
	for ; k > 1; k-- {
		if inside(0, joined(f.aa.forbidden(box*float64(k-1)/parts, nil))) {
			break
		}
	}
	pitch, ok := least(geometry.Length(box*float64(k)/parts), func(x geometry.Length) bool {
		return f.keeper.keeps(f.turns[0], f.turns[0], geometry.Size{Across: x})
	})
	if !ok {
		return box
	}
	return float64(pitch)
}

// stray is how far the search may be from the true touch: both flattened
// outlines stray by coarse, and where the touch is aslant the way around is
// longer than across the gap.
const stray = 400 * coarse

// least gives the least length near the estimate that is good, as what lies
// above it is; it walks from the estimate in steps that grow fourfold and halves the rest.
func least(estimate geometry.Length, good func(geometry.Length) bool) (geometry.Length, bool) {
	hi := estimate
	for step := geometry.Length(1); !good(hi); step *= 4 {
		if step > stray {
			return 0, false
		}
		hi = estimate + step
	}
	lo := hi
	for step := geometry.Length(1); ; step *= 4 {
		if step > stray {
			return lo, true
		}
		if lo = hi - step; !good(lo) {
			break
		}
		hi = lo
	}
	for hi-lo > 1 {
		if m := lo + (hi-lo)/2; good(m) {
			hi = m
		} else {
			lo = m
		}
	}
	return hi, true
}

// nearest gives the length nearest to the estimate that is good, on either side.
func nearest(estimate geometry.Length, good func(geometry.Length) bool) (geometry.Length, bool) {
	if good(estimate) {
		return estimate, true
	}
	for step := geometry.Length(1); step <= stray; step *= 4 {
		for _, way := range [...]geometry.Length{1, -1} {
			if !good(estimate + way*step) {
				continue
			}
			bad, fine := step/4, step
			for fine-bad > 1 {
				if m := bad + (fine-bad)/2; good(estimate + way*m) {
					fine = m
				} else {
					bad = m
				}
			}
			return estimate + way*fine, true
		}
	}
	return 0, false
}

// settle brings a spot to whole nanometres at which the true outlines keep the
// gap, and reports whether that could be done.
func (f *family) settle(s spot, room geometry.Length) (placed, bool) {
	round := func(v float64) geometry.Length { return geometry.Length(math.Round(v)) }
	p := placed{pitch: round(s.pitch), shear: round(s.shear), stagger: round(s.stagger)}
	p.n = f.counts(s.pitch, s.stagger, room)
	if width := room - f.size.Across; p.n[0] > 1 && geometry.Length(p.n[0]-1)*p.pitch > width {
		p.pitch = width / geometry.Length(p.n[0]-1)
	}
	if over := p.stagger + geometry.Length(p.n[1]-1)*p.pitch + f.size.Across - room; f.pair() && over > 0 {
		p.stagger -= over
	}
	first, second := f.turns[0], f.second()
	if p.stagger < 0 || p.pitch <= 0 {
		return p, false
	}
	// A period beyond all neighbours, while the row itself is looked at.
	far := 4*(f.size.Around+f.gap.Around) + mostAbreast*max(p.shear, -p.shear)
	ok := true
	p.shear, ok = nearest(p.shear, func(v geometry.Length) bool {
		q := p
		q.shear, q.period = v, far
		return f.clearRow(first, first, geometry.Size{}, q, true)
	})
	if !ok {
		return p, false
	}
	if f.pair() {
		p.step, ok = least(round(s.step), func(v geometry.Length) bool {
			q := p
			q.period = far
			return f.clearRow(first, second, geometry.Size{Across: p.stagger, Around: v}, q, false)
		})
		if !ok {
			return p, false
		}
	}
	p.period, ok = least(round(s.period), func(v geometry.Length) bool {
		q := p
		q.period = v
		return v > 0 && f.stands(q)
	})
	if !ok {
		return p, false
	}
	if p.step %= p.period; p.step < 0 {
		p.step += p.period
	}
	return p, true
}

// stands reports whether all labels of a pattern without end keep the gap.
func (f *family) stands(p placed) bool {
	first, second := f.turns[0], f.second()
	return f.clearRow(first, first, geometry.Size{}, p, true) &&
		(!f.pair() || f.clearRow(first, second, geometry.Size{Across: p.stagger, Around: p.step}, p, false))
}

// counts gives the labels of both members in the room across.
func (f *family) counts(pitch, stagger float64, room geometry.Length) (n [2]int) {
	const hair = 0.75 // nm, less than settle gives back
	free := float64(room-f.size.Across) + hair
	if free < 0 {
		return n
	}
	n[0] = int(free/pitch) + 1
	if f.pair() && free >= stagger {
		n[1] = int((free-stagger)/pitch) + 1
	}
	return n
}
