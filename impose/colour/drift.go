package colour

import (
	"fmt"
	"math"
	"strings"

	"quoin/impose/colour/cielab"
)

// ramp is a change of level between two places: level from up to the first,
// level to from the second on, straight between.
type ramp struct {
	from, to   []float64
	start, end float64
}

func (r ramp) at(x float64, k int) float64 {
	part := min(1, max(0, (x-r.start)/(r.end-r.start)))
	return r.from[k] + part*(r.to[k]-r.from[k])
}

const (
	leastSteps = 6   // readings over the run, below which nothing is called a drift
	mostSteps  = 200 // a longer series is averaged to so many, so that the search stays short
	mostRamps  = 3   // changes that are looked for in one series

	// clear is how many times the variance that is left a ramp must explain, for
	// each of its numbers, before it is believed. Chance alone reaches 6 or 7 once
	// in a hundred runs, since the places are searched for.
	clear = 9
)

// ramps finds up to three changes in a series of colours or numbers: the one
// that explains most, then others in what it leaves.
func ramps(xs []float64, ys [][]float64) []ramp {
	xs, ys = thinned(xs, ys)
	if len(xs) < leastSteps {
		return nil
	}
	var out []ramp
	rest := ys
	for range mostRamps {
		r, ok := bestRamp(xs, rest)
		if !ok {
			break
		}
		out = append(out, r)
		next := make([][]float64, len(rest))
		for i := range rest {
			for k := range rest[i] {
				next[i] = append(next[i], rest[i][k]-r.at(xs[i], k))
			}
		}
		rest = next
	}
	return out
}

// thinned averages neighbours of a long series.
func thinned(xs []float64, ys [][]float64) ([]float64, [][]float64) {
	n := (len(xs) + mostSteps - 1) / mostSteps
	if n <= 1 {
		return xs, ys
	}
	var x []float64
	var y [][]float64
	for i := 0; i < len(xs); i += n {
		end := min(i+n, len(xs))
		mx, my := 0.0, make([]float64, len(ys[0]))
		for j := i; j < end; j++ {
			mx += xs[j] / float64(end-i)
			for k := range my {
				my[k] += ys[j][k] / float64(end-i)
			}
		}
		x, y = append(x, mx), append(y, my)
	}
	return x, y
}

// bestRamp finds the ramp between two of the places that leaves the least
// squares, and whether it is more than chance. A ramp is a regression on how
// much of the change has happened, b: nothing up to the start, all from the
// end on. Running sums give each pair of places its regression in one step.
func bestRamp(xs []float64, ys [][]float64) (ramp, bool) {
	n, dims := len(xs), len(ys[0])
	sums := newRunning(xs, ys)
	var most float64 // of the squares that a ramp explains
	from, to := -1, -1
	for i := 0; i < n-1; i++ {
		for j := i + 1; j < n; j++ {
			if xs[j] <= xs[i] {
				continue
			}
			if _, explained := sums.regress(i, j); explained > most+1e-12 {
				most, from, to = explained, i, j
			}
		}
	}
	if from < 0 || n <= 4 {
		return ramp{}, false
	}
	slopes, _ := sums.regress(from, to)
	r := ramp{make([]float64, dims), make([]float64, dims), xs[from], xs[to]}
	for k := range dims {
		r.from[k] = sums.mean[k] - slopes[k]*sums.b(from, to)/float64(n)
		r.to[k] = r.from[k] + slopes[k]
	}
	noise := max((sums.square-most)/float64(n-4), 1e-9)
	return r, most/3/noise > clear
}

// running holds sums over the first so many places.
type running struct {
	x0        float64
	xs, x, xx []float64
	y, xy     [][]float64 // by number, then place; about the mean
	mean      []float64
	square    float64 // of all numbers about their means
}

func newRunning(xs []float64, ys [][]float64) *running {
	n, dims := len(xs), len(ys[0])
	r := &running{x0: xs[0], xs: xs, x: make([]float64, n+1), xx: make([]float64, n+1), mean: make([]float64, dims)}
	for i := range xs {
		x := xs[i] - r.x0
		r.x[i+1], r.xx[i+1] = r.x[i]+x, r.xx[i]+x*x
	}
	for k := range dims {
		for _, y := range ys {
			r.mean[k] += y[k] / float64(n)
		}
		sy, sxy := make([]float64, n+1), make([]float64, n+1)
		for i, y := range ys {
			d := y[k] - r.mean[k]
			sy[i+1], sxy[i+1] = sy[i]+d, sxy[i]+(xs[i]-r.x0)*d
			r.square += d * d
		}
		r.y, r.xy = append(r.y, sy), append(r.xy, sxy)
	}
	return r
}

// b sums how much of a change between two places has happened at each.
func (r *running) b(i, j int) float64 {
	n, s, d := len(r.xs), r.xs[i]-r.x0, r.xs[j]-r.xs[i]
	return float64(n-j) + (r.x[j]-r.x[i]-float64(j-i)*s)/d
}

// regress gives the change in each number, and how much of the squares it
// explains.
func (r *running) regress(i, j int) (slopes []float64, explained float64) {
	n, s, d := len(r.xs), r.xs[i]-r.x0, r.xs[j]-r.xs[i]
	sb := r.b(i, j)
	sbb := float64(n-j) + (r.xx[j]-r.xx[i]-2*s*(r.x[j]-r.x[i])+float64(j-i)*s*s)/(d*d)
	variance := sbb - sb*sb/float64(n)
	if variance < 1e-9 {
		return nil, 0
	}
	for k := range r.y {
		sby := r.y[k][n] - r.y[k][j] + (r.xy[k][j]-r.xy[k][i]-s*(r.y[k][j]-r.y[k][i]))/d
		slopes = append(slopes, sby/variance)
		explained += sby * sby / variance
	}
	return slopes, explained
}

// toneDrift says how a tint's tone value changes over the run.
func toneDrift(ink string, nominal float64, xs, values []float64, least float64) (out []Drift) {
	ys := make([][]float64, len(values))
	for i, v := range values {
		ys[i] = []float64{v}
	}
	for _, r := range ramps(xs, ys) {
		change := r.to[0] - r.from[0]
		if math.Abs(change) < least {
			continue
		}
		word := "rises"
		if change < 0 {
			word = "falls"
		}
		out = append(out, drift(ink, r, xs, math.Abs(change),
			fmt.Sprintf("%s %s: %+.1f points at %s %%", ink, word, change, number(nominal))))
	}
	return out
}

// colourDrift says how a solid or the paper changes over the run.
func colourDrift(ink string, xs []float64, labs []cielab.Lab, least float64) (out []Drift) {
	ys := make([][]float64, len(labs))
	for i, c := range labs {
		ys[i] = []float64{c.L, c.A, c.B}
	}
	mean := cielab.Mean(labs)
	for i, r := range ramps(xs, ys) {
		from, to := cielab.Lab{L: r.from[0], A: r.from[1], B: r.from[2]}, cielab.Lab{L: r.to[0], A: r.to[1], B: r.to[2]}
		if i > 0 { // a later change is one of what the first left
			from, to = plus(mean, from), plus(mean, to)
		}
		size := cielab.DE00(from, to)
		if size < least {
			continue
		}
		name := ink + "'s solid"
		if ink == "paper" {
			name = "the paper"
		}
		out = append(out, drift(ink, r, xs, size, fmt.Sprintf("%s %s: dE00 %.1f", name, way(from, to), size)))
	}
	return out
}

func plus(a, b cielab.Lab) cielab.Lab { return cielab.Lab{L: a.L + b.L, A: a.A + b.A, B: a.B + b.B} }

// drift names where a change begins and ends.
func drift(ink string, r ramp, xs []float64, size float64, what string) Drift {
	last := xs[len(xs)-1]
	if r.end >= last-1e-9 || r.end-r.start > 0.9*(last-r.start) {
		what += fmt.Sprintf(" since metre %.0f", r.start)
	} else {
		what += fmt.Sprintf(" from metre %.0f to %.0f", r.start, r.end)
	}
	return Drift{Ink: ink, FromM: round(r.start, 1), ToM: round(min(r.end, last), 1), Size: round(size, 2), What: what}
}

// hardlySeen is the difference below which no direction is told.
const hardlySeen = 0.5

// way says in words where a colour goes: what changes most, and what more than
// half as much.
func way(from, to cielab.Lab) string {
	if cielab.DE00(from, to) < hardlySeen {
		return "hardly differs"
	}
	dl, dc := to.L-from.L, to.Chroma()-from.Chroma()
	dh := cielab.DH(from, to)
	most := max(math.Abs(dl), math.Abs(dc), dh)
	var words []string
	add := func(v float64, up, down string) {
		if math.Abs(v) < most/2 || v == 0 {
			return
		}
		if v > 0 {
			words = append(words, up)
		} else {
			words = append(words, down)
		}
	}
	add(dl, "lighter", "darker")
	add(dc, "purer", "duller")
	if dh >= most/2 && dh > 0 {
		words = append(words, hueWay(from, to))
	}
	return "turns " + strings.Join(words, " and ")
}

// hueWay names the direction in which a hue turns, or an almost neutral colour
// is tinged.
func hueWay(from, to cielab.Lab) string {
	da, db := to.A-from.A, to.B-from.B
	if math.Abs(da) >= math.Abs(db) {
		if da > 0 {
			return "redder"
		}
		return "greener"
	}
	if db > 0 {
		return "yellower"
	}
	return "bluer"
}
