package nest

import (
	"cmp"
	"math"
	"slices"
)

// How finely the search looks: pitches, staggers and shears on a grid, then the
// best few walked downhill.
const (
	pitches   = 48
	staggers  = 48
	shears    = 16
	coarser   = 2 // by so much a slanted pair's grid is coarser, which has a dimension more
	finalists = 5
	// mostUprights is how many upright sides of a shape are looked at in pairs.
	mostUprights = 10
	// mostAbreast is how many lanes may begin within the width of one label: the
	// arms of an L with arms of a fifth still lie in each other's hollows.
	mostAbreast = 6
	// A gain so small does not spoil an even stagger; facets alone give it.
	trifle = 1e-6
)

// find is a spot with what it scores.
type find struct {
	spot
	score float64
}

// class tells spots apart of which each has a best one: by the labels across, and
// whether rows slant.
type class struct {
	n      [2]int
	slants bool
}

// search gives the best few spots of a family for each seam, best first.
func (fr *frame) search(f *family, seams []Seam) map[Seam][]spot {
	best := map[Seam]map[class]find{}
	for _, seam := range seams {
		best[seam] = map[class]find{}
	}
	consider := func(pitch, shear, stagger float64) {
		step, period := f.solve(pitch, shear, stagger)
		s := spot{pitch, shear, stagger, step, period}
		if math.IsInf(period, 1) {
			return
		}
		c := class{f.counts(pitch, stagger, fr.room), shear != 0}
		for _, seam := range seams {
			if score := fr.score(f, s, seam); score > best[seam][c].score*(1+trifle) {
				best[seam][c] = find{s, score}
			}
		}
	}
	for _, pitch := range fr.pitchesOf(f) {
		for _, shear := range fr.shearsOf(f, pitch) {
			for _, stagger := range fr.staggersOf(f, pitch) {
				consider(pitch, shear, stagger)
			}
		}
	}
	out := map[Seam][]spot{}
	for _, seam := range seams {
		for _, r := range ranked(best[seam]) {
			out[seam] = append(out[seam], fr.walk(f, r, seam))
		}
	}
	return out
}

// ranked gives the finalists, best first.
func ranked(best map[class]find) []find {
	var all []find
	for _, r := range best {
		all = append(all, r)
	}
	slices.SortFunc(all, func(a, b find) int {
		return cmp.Or(cmp.Compare(b.score, a.score), cmp.Compare(a.pitch, b.pitch), cmp.Compare(a.shear, b.shear))
	})
	return all[:min(len(all), finalists)]
}

// even gives the best spot of the classic pattern, the second row moved by half
// a pitch: the one to compare where a stagger does not pay.
func (fr *frame) even(f *family, seam Seam) (spot, bool) {
	var best spot
	var most float64
	for _, pitch := range fr.pitchesOf(f) {
		step, period := f.solve(pitch, 0, pitch/2)
		s := spot{pitch, 0, pitch / 2, step, period}
		if score := fr.score(f, s, seam); score > most*(1+trifle) {
			best, most = s, score
		}
	}
	return best, most > 0
}

// least gives the least pitch to look at.
func (f *family) least() float64 {
	if f.sheared {
		return float64(f.size.Across+f.gap.Across) / mostAbreast
	}
	return f.low
}

// high gives the largest pitch to look at: where a label of the other row fits
// between two.
func (f *family) high() float64 {
	high := float64(f.size.Across + f.gap.Across)
	if f.pair() {
		high *= 2
	}
	return high
}

// pitchesOf gives the pitches to look at: a grid, and those that fill the band.
func (fr *frame) pitchesOf(f *family) []float64 {
	low, high := f.least(), f.high()
	n := pitches
	if f.sheared && f.pair() {
		n /= coarser
	}
	out := []float64{low, high}
	for i := 1; i < n; i++ {
		out = append(out, low+(high-low)*float64(i)/float64(n))
	}
	free := float64(fr.room - f.size.Across)
	for n := 1; free/(float64(n)+0.5) >= low && n < 1000; n++ {
		for _, p := range [...]float64{free / float64(n), free / (float64(n) + 0.5)} {
			if p >= low && p <= high && !(f.sheared && f.pair() && n > pitches/coarser) {
				out = append(out, p)
			}
		}
	}
	// Upright sides pass each other once or twice in a pitch.
	once := f.aa.uprights()
	if f.pair() {
		once = append(once, f.ab.uprights()...)
	}
	for i, p := range once {
		for _, q := range append([]float64{0}, once[i:]...) {
			if p+q >= low && p+q <= high && len(once) <= mostUprights {
				out = append(out, p+q)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// shearsOf gives the shears to look at: those at which neighbours touch, and a
// grid over the way that a label reaches around.
func (fr *frame) shearsOf(f *family, pitch float64) []float64 {
	if !f.sheared {
		return []float64{0}
	}
	out := f.shears(pitch)[1:]
	n, reach := shears, float64(f.size.Around+f.gap.Around)
	if f.pair() {
		n = 6
	}
	for i := 1; i <= n; i++ {
		out = append(out, reach*float64(i)/float64(n))
		if !f.pair() {
			out = append(out, -reach*float64(i)/float64(n))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// staggersOf gives the staggers to look at: a grid, half the pitch among it, and
// the widest that still leaves the second row as many labels.
func (fr *frame) staggersOf(f *family, pitch float64) []float64 {
	if !f.pair() {
		return []float64{0}
	}
	n := staggers
	if f.sheared {
		n /= coarser
	}
	var out []float64
	for i := range n {
		out = append(out, pitch*float64(i)/float64(n))
	}
	for _, x := range f.ab.uprights() {
		if x < pitch {
			out = append(out, x)
		}
		if x = math.Ceil(x/pitch)*pitch - x; x > 0 {
			out = append(out, x) // the same to the left
		}
	}
	if rest := math.Mod(float64(fr.room-f.size.Across), pitch); rest >= 0 && rest < pitch {
		out = append(out, rest)
	}
	return out
}

// walk goes downhill from a spot with ever shorter steps, along the pitch, the
// stagger and the shear, and the ways on which the rows stay evenly staggered,
// fill the band or keep touching.
func (fr *frame) walk(f *family, r find, seam Seam) spot {
	const shortest = 50 // nm; settle does the rest
	s, best := r.spot, r.score
	n := f.counts(s.pitch, s.stagger, fr.room)
	type way struct{ pitch, shear, stagger float64 }
	ways := []way{{1, 0, 0}}
	if f.pair() {
		ways = append(ways, way{0, 0, 1}, way{1, 0, 0.5}, way{1, 0, -float64(n[0] - 1)})
	}
	if f.sheared {
		ways = append(ways, way{0, 1, 0}, way{1, 1, 0}, way{1, -1, 0})
	}
	low, high := f.least(), 2*float64(f.size.Across+f.gap.Across)
	try := func(pitch, shear, stagger float64) {
		if pitch < low || pitch > high || stagger < 0 || stagger >= pitch || f.sheared == (shear == 0) {
			return
		}
		step, period := f.solve(pitch, shear, stagger)
		t := spot{pitch, shear, stagger, step, period}
		if score := fr.score(f, t, seam); score > best*(1+trifle) {
			s, best = t, score
		}
	}
	for step := f.low / staggers; step > shortest; step /= 2 {
		for _, w := range ways {
			for _, sign := range [...]float64{1, -1} {
				pitch, shear, stagger := s.pitch+sign*step*w.pitch, s.shear+sign*step*w.shear, s.stagger+sign*step*w.stagger
				try(pitch, shear, stagger)
				if f.sheared && w.shear == 0 && pitch > 0 { // slide along the touch
					for _, touching := range f.shears(pitch)[1:] {
						if math.Abs(touching-shear) < 4*step {
							try(pitch, touching, stagger)
						}
					}
				}
			}
		}
	}
	return s
}

// tidied gives a spot and the even ones close to it. The facets of flattened
// outlines draw the search a little off the places where the true ones touch on
// both sides at once: the least pitch, the one that fills the band, the even
// stagger and the widest.
func (fr *frame) tidied(f *family, s spot) []spot {
	const close = 0.02 // of the pitch
	free := float64(fr.room - f.size.Across)
	n := f.counts(s.pitch, s.stagger, fr.room)
	out := []spot{s}
	for _, pitch := range [...]float64{s.pitch, f.low, free / float64(max(n[0]-1, 1)), free / (float64(n[0]) - 0.5)} {
		rest := free - float64(n[0]-1)*pitch
		for _, stagger := range [...]float64{s.stagger, pitch / 2, rest} {
			near := math.Abs(pitch-s.pitch) < close*s.pitch && math.Abs(stagger-s.stagger) < close*s.pitch
			if !near || pitch < f.least() || stagger < 0 || stagger >= pitch || !f.pair() && stagger != s.stagger {
				continue
			}
			shears := []float64{s.shear}
			if f.sheared {
				for _, touching := range f.shears(pitch)[1:] {
					if math.Abs(touching-s.shear) < close*s.pitch {
						shears = append(shears, touching)
					}
				}
			}
			for _, shear := range shears {
				step, period := f.solve(pitch, shear, stagger)
				if t := (spot{pitch, shear, stagger, step, period}); !slices.Contains(out, t) && !math.IsInf(period, 1) {
					out = append(out, t)
				}
			}
		}
	}
	return out
}
