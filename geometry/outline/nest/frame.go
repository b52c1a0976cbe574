package nest

import (
	"cmp"
	"math"
	"slices"

	"quoin/geometry"
)

// frame is what a pattern is to fill.
type frame struct {
	room   geometry.Length // across, trim to trim
	repeat geometry.Repeat
	gap    geometry.Length // around
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

// rank is a place around that holds labels of one period, with how many.
type rank struct {
	at     float64 // 0 <= at < period
	labels int
}

// ranks gives where the labels of one period stand around, in order.
func (f *family) ranks(s spot, n [2]int) []rank {
	var out []rank
	add := func(y float64, labels int) {
		y -= math.Floor(y/s.period) * s.period
		out = append(out, rank{y, labels})
	}
	for i := range f.turns {
		y := float64(i) * s.step
		if s.shear == 0 {
			add(y, n[i])
			continue
		}
		for k := range n[i] {
			add(y+float64(k)*s.shear, 1)
		}
	}
	slices.SortFunc(out, func(a, b rank) int { return cmp.Compare(a.at, b.at) })
	return out
}

// stretch is a run of ranks between the ends of a frame: from rank first of the
// period on, so many.
type stretch struct {
	first, count int
	labels       int
	length       float64 // from the first rank to the last
}

// at gives where the i-th rank of the run stands, from its first.
func (st stretch) at(i int, ranks []rank, period float64) float64 {
	k := st.first + i
	return ranks[k%len(ranks)].at + float64(k/len(ranks))*period - ranks[st.first].at
}

// apart gives the run of ranks that holds the most labels to the length of web,
// every label between the ends of its frame. It looks at so many ranks as the
// first, spread over the period.
func (fr *frame) apart(ranks []rank, period float64, starts int) (best stretch, rate float64) {
	free := float64(fr.limit()-fr.gap-fr.height) + 0.5
	if free < 0 {
		return stretch{}, 0
	}
	for first := 0; first < len(ranks); first += max(1, len(ranks)/starts) {
		st := stretch{first: first}
		for i := 0; ; i++ {
			y := st.at(i, ranks, period)
			if y > free {
				break
			}
			st.count, st.length = i+1, y
			st.labels += ranks[(first+i)%len(ranks)].labels
			if i+1 < len(ranks) && st.at(i+1, ranks, period) <= free {
				continue // a longer run only gains on less than a period
			}
			length := y + float64(fr.height+fr.gap)
			if fr.repeat.Fixed > 0 {
				length = float64(fr.repeat.Fixed)
			}
			if r := float64(st.labels) / length; r >= rate*(1-1e-12) { // of equal ones the longest
				best, rate = st, r
			}
		}
	}
	return best, rate
}

// glance is how many first ranks the search looks at; the settled pattern is
// asked for all.
const glance = 4

// score rates a spot by the labels to the length of web that it takes; what
// only a wider frame could use counts a millionth.
func (fr *frame) score(f *family, s spot, seam Seam) float64 {
	n := f.counts(s.pitch, s.stagger, fr.room)
	if n[0] == 0 || f.pair() && n[1] == 0 || math.IsInf(s.period, 1) {
		return 0
	}
	rate := float64(n[0]+n[1]) / s.period
	if seam == Apart {
		_, found := fr.apart(f.ranks(s, n), s.period, glance)
		if found == 0 {
			return 0
		}
		return found + rate/1e6
	}
	k := fr.running(s.period)
	if k == 0 {
		return 0
	}
	length := float64(k) * s.period
	if fr.repeat.Fixed > 0 {
		length = float64(fr.repeat.Fixed)
	}
	return float64(k*(n[0]+n[1]))/length + rate/1e6
}
