package nest

import (
	"math"
	"slices"

	"quoin/geometry"
)

// frame is what a pattern is to fill.
type frame struct {
	room   geometry.Length // across, trim to trim
	repeat geometry.Repeat
	gap    geometry.Length
	height geometry.Length // of one label
}

func (fr *frame) limit() geometry.Length {
	if fr.repeat.Fixed > 0 {
		return fr.repeat.Fixed
	}
	return fr.repeat.Max
}

// running gives the whole periods that go around the frame.
func (fr *frame) running(period float64) int {
	return int((float64(fr.limit()) + 0.5) / period)
}

// apart gives the rows that fit between the ends of the frame; the offset of
// row i from the first is that of offset.
func (fr *frame) apart(rows int, step, period float64) int {
	free := float64(fr.limit()-fr.gap-fr.height) + 0.5
	n := 0
	for offset(n, rows, step, period) <= free {
		n++
	}
	return n
}

// offset gives where row i begins, counted from row 0.
func offset(i, rows int, step, period float64) float64 {
	y := float64(i/rows) * period
	if i%rows == 1 {
		y += step
	}
	return y
}

// score rates a spot by the labels to the length of web that it takes; what
// only a wider frame could use counts a millionth.
func (fr *frame) score(f *family, s spot, seam Seam) float64 {
	n := f.counts(s.pitch, s.stagger, fr.room)
	if n[0] == 0 || f.rows == 2 && n[1] == 0 || math.IsInf(s.period, 1) {
		return 0
	}
	rate := float64(n[0]+n[1]) / s.period
	var labels, length float64
	if seam == Running {
		k := fr.running(s.period)
		labels, length = float64(k*(n[0]+n[1])), float64(k)*s.period
	} else {
		step := s.step - math.Floor(s.step/s.period)*s.period
		k := fr.apart(f.rows, step, s.period)
		labels = float64((k+1)/2*n[0] + k/2*n[1])
		if f.rows == 1 {
			labels = float64(k * n[0])
		}
		if k > 0 {
			length = offset(k-1, f.rows, step, s.period) + float64(fr.height+fr.gap)
		}
	}
	if labels == 0 {
		return 0
	}
	if fr.repeat.Fixed > 0 {
		length = float64(fr.repeat.Fixed)
	}
	return labels/length + rate/1e6
}

// How finely the search looks: pitches and staggers on a grid, then the best
// few walked downhill.
const (
	pitches   = 48
	staggers  = 48
	finalists = 5
	// A gain so small does not spoil an even stagger; facets alone give it.
	trifle = 1e-6
)

// search gives the best few spots of a family, best first.
func (fr *frame) search(f *family, seam Seam) []spot {
	type rated struct {
		spot
		score float64
	}
	best := map[[2]int]rated{} // of each count of labels across
	low := float64(f.low)
	consider := func(pitch, stagger float64) {
		step, period := f.settleCoarse(pitch, stagger)
		s := spot{pitch, stagger, step, period}
		score := fr.score(f, s, seam)
		n := f.counts(pitch, stagger, fr.room)
		if score > best[n].score*(1+trifle) {
			best[n] = rated{s, score}
		}
	}
	for _, pitch := range fr.pitchesOf(f, low) {
		if f.rows == 1 {
			consider(pitch, 0)
			continue
		}
		for i := range staggers {
			consider(pitch, pitch*float64(i)/staggers) // half the pitch is among them
		}
		// The widest stagger that still leaves the second row as many labels.
		if rest := math.Mod(float64(fr.room-f.size.Across), pitch); rest < pitch {
			consider(pitch, rest)
		}
	}
	var all []rated
	for _, r := range best {
		all = append(all, r)
	}
	slices.SortFunc(all, func(a, b rated) int {
		switch {
		case a.score > b.score || a.score == b.score && a.pitch < b.pitch:
			return -1
		case a.score == b.score && a.pitch == b.pitch:
			return 0
		}
		return 1
	})
	var out []spot
	for _, r := range all[:min(len(all), finalists)] {
		out = append(out, fr.walk(f, r.spot, low, seam))
	}
	return out
}

// even gives the best spot of the classic pattern, the second row moved by half
// a pitch: the one to compare where a stagger does not pay.
func (fr *frame) even(f *family, seam Seam) (spot, bool) {
	var best spot
	var most float64
	for _, pitch := range fr.pitchesOf(f, float64(f.low)) {
		step, period := f.settleCoarse(pitch, pitch/2)
		s := spot{pitch, pitch / 2, step, period}
		if score := fr.score(f, s, seam); score > most*(1+trifle) {
			best, most = s, score
		}
	}
	return best, most > 0
}

// pitchesOf gives the pitches to look at: a grid from the least one to where a
// label of the other row fits between two, and those that fill the band.
func (fr *frame) pitchesOf(f *family, low float64) []float64 {
	high := float64(f.size.Across + f.gap)
	if f.rows == 2 {
		high *= 2
	}
	out := []float64{low, high}
	for i := 1; i < pitches; i++ {
		out = append(out, low+(high-low)*float64(i)/pitches)
	}
	free := float64(fr.room - f.size.Across)
	for n := 1; free/(float64(n)+0.5) >= low && n < 1000; n++ {
		for _, p := range [...]float64{free / float64(n), free / (float64(n) + 0.5)} {
			if p >= low && p <= high {
				out = append(out, p)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// walk goes downhill from a spot with ever shorter steps, along the pitch, the
// stagger, and the ways on which the rows stay evenly staggered or fill the
// band.
func (fr *frame) walk(f *family, s spot, low float64, seam Seam) spot {
	const shortest = 50 // nm; settle does the rest
	best := fr.score(f, s, seam)
	n := f.counts(s.pitch, s.stagger, fr.room)
	ways := []vec{{1, 0}, {0, 1}, {1, 0.5}, {1, -float64(n[0] - 1)}}
	if f.rows == 1 {
		ways = ways[:1]
	}
	high := 2 * float64(f.size.Across+f.gap)
	for step := low / staggers; step > shortest; step /= 2 {
		for _, w := range ways {
			for _, sign := range [...]float64{1, -1} {
				pitch, stagger := s.pitch+sign*step*w.x, s.stagger+sign*step*w.y
				if pitch < low || pitch > high || stagger < 0 || stagger >= pitch {
					continue
				}
				around, period := f.settleCoarse(pitch, stagger)
				t := spot{pitch, stagger, around, period}
				if score := fr.score(f, t, seam); score > best*(1+trifle) {
					s, best = t, score
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
	low := float64(f.low)
	free := float64(fr.room - f.size.Across)
	n := f.counts(s.pitch, s.stagger, fr.room)
	out := []spot{s}
	for _, pitch := range [...]float64{s.pitch, low, free / float64(max(n[0]-1, 1)), free / (float64(n[0]) - 0.5)} {
		rest := free - float64(n[0]-1)*pitch
		for _, stagger := range [...]float64{s.stagger, pitch / 2, rest} {
			near := math.Abs(pitch-s.pitch) < close*s.pitch && math.Abs(stagger-s.stagger) < close*s.pitch
			if !near || pitch < low || stagger < 0 || stagger >= pitch || f.rows == 1 && stagger != s.stagger {
				continue
			}
			step, period := f.settleCoarse(pitch, stagger)
			if t := (spot{pitch, stagger, step, period}); !slices.Contains(out, t) && !math.IsInf(period, 1) {
				out = append(out, t)
			}
		}
	}
	return out
}
