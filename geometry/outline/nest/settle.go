package nest

import (
	"math"

	"quoin/geometry"
)

// clear tells whether b, moved against a, keeps the gap.
func (f *family) clear(second bool, across, around geometry.Length) bool {
	if max(across, -across) >= f.size.Across+f.gap || max(around, -around) >= f.size.Around+f.gap {
		return true
	}
	b := f.a
	if second {
		b = f.b
	}
	return f.a.Keeps(b, geometry.Size{Across: across, Around: around}, f.gap)
}

// clearRow tells whether a shape keeps the gap from a whole row of the first
// shape, and from those that stand whole periods from it.
func (f *family) clearRow(second bool, across, around, pitch, period geometry.Length) bool {
	width, height := f.size.Across+f.gap, f.size.Around+f.gap
	for y := first(around, height, period); y < height; y += period {
		for x := first(across, width, pitch); x < width; x += pitch {
			if !second && x == 0 && y == 0 {
				continue // itself
			}
			if !f.clear(second, x, y) {
				return false
			}
		}
	}
	return true
}

// first gives the least x + k*step above -reach.
func first(x, reach, step geometry.Length) geometry.Length {
	k := (x + reach) / step
	if x+reach < 0 {
		k = -((-(x + reach) + step - 1) / step)
	}
	if x -= k * step; x <= -reach {
		x += step
	}
	return x
}

// leastPitch gives the least pitch across from which on neighbours in a row
// keep the gap: the box with the gap, or less where the shape leans.
func (f *family) leastPitch() geometry.Length {
	box := float64(f.size.Across + f.gap)
	const parts = 256
	k := parts
	for ; k > 1; k-- {
		if inside(0, joined(f.aa.forbidden(box*float64(k-1)/parts, nil))) {
			break
		}
	}
	pitch, ok := least(geometry.Length(box*float64(k)/parts), func(x geometry.Length) bool { return f.clear(false, x, 0) })
	if !ok {
		return f.size.Across + f.gap
	}
	return pitch
}

// stray is how far the search may be from the true touch: both flattened
// outlines stray by coarse, and where the touch is aslant the way around is
// longer than across the gap.
const stray = 400 * coarse

// least gives the least length near the estimate that is good, as what lies
// above it is; it walks from the estimate in doubling steps and halves the rest.
func least(estimate geometry.Length, good func(geometry.Length) bool) (geometry.Length, bool) {
	hi := estimate
	for step := geometry.Length(coarse / 4); !good(hi); step *= 2 {
		if step > stray {
			return 0, false
		}
		hi = estimate + step
	}
	lo := hi
	for step := geometry.Length(coarse / 4); ; step *= 2 {
		if step > stray {
			return lo, true
		}
		if lo = hi - step; !good(lo) {
			break
		}
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

// placed is a spot in whole nanometres, with the labels of both rows.
type placed struct {
	pitch, stagger, step, period geometry.Length
	n                            [2]int
}

// settle brings a spot to whole nanometres at which the true outlines keep the
// gap, and tells whether that could be done.
func (f *family) settle(s spot, room geometry.Length) (placed, bool) {
	p := placed{pitch: geometry.Length(math.Round(s.pitch)), stagger: geometry.Length(math.Round(s.stagger))}
	p.n = f.counts(s.pitch, s.stagger, room)
	if width := room - f.size.Across; p.n[0] > 1 && geometry.Length(p.n[0]-1)*p.pitch > width {
		p.pitch = width / geometry.Length(p.n[0]-1)
	}
	if over := p.stagger + geometry.Length(p.n[1]-1)*p.pitch + f.size.Across - room; f.rows == 2 && over > 0 {
		p.stagger -= over
	}
	if p.stagger < 0 || !f.clearRow(false, 0, 0, p.pitch, f.size.Around+f.gap) {
		return p, false
	}
	far := 4 * (f.size.Around + f.gap) // a period beyond all neighbours
	ok := true
	if f.rows == 2 {
		p.step, ok = least(geometry.Length(math.Round(s.step)), func(v geometry.Length) bool {
			return f.clearRow(true, p.stagger, v, p.pitch, far)
		})
		if !ok {
			return p, false
		}
	}
	p.period, ok = least(geometry.Length(math.Round(s.period)), func(v geometry.Length) bool {
		return v > 0 && f.clearRow(false, 0, 0, p.pitch, v) &&
			(f.rows == 1 || f.clearRow(true, p.stagger, p.step, p.pitch, v))
	})
	if !ok {
		return p, false
	}
	if p.step %= p.period; p.step < 0 {
		p.step += p.period
	}
	return p, true
}

// counts gives the labels of both rows in the room across.
func (f *family) counts(pitch, stagger float64, room geometry.Length) (n [2]int) {
	const hair = 0.75 // nm, less than settle gives back
	free := float64(room-f.size.Across) + hair
	if free < 0 {
		return n
	}
	n[0] = int(free/pitch) + 1
	if f.rows == 2 && free >= stagger {
		n[1] = int((free-stagger)/pitch) + 1
	}
	return n
}
