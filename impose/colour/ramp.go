package colour

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

// regress returns the change in each number, and how much of the squares it
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
