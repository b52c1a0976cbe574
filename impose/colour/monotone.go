package colour

// monotone is a curve through rising points that never turns back between them:
// cubics whose slopes are weighted harmonic means of their neighbours' (Fritsch
// and Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300-304). A library has it
// too, and brings 3 MB of matrices into the program.
type monotone struct{ x, y, slope []float64 }

func newMonotone(x, y []float64) *monotone {
	n := len(x)
	m := &monotone{x, y, make([]float64, n)}
	secant := func(i int) float64 { return (y[i+1] - y[i]) / (x[i+1] - x[i]) }
	m.slope[0], m.slope[n-1] = secant(0), secant(n-2)
	if n > 2 {
		m.slope[0] = endSlope(x[1]-x[0], x[2]-x[1], secant(0), secant(1))
		m.slope[n-1] = endSlope(x[n-1]-x[n-2], x[n-2]-x[n-3], secant(n-2), secant(n-3))
	}
	for i := 1; i < n-1; i++ {
		before, after := secant(i-1), secant(i)
		h0, h1 := x[i]-x[i-1], x[i+1]-x[i]
		if before*after > 0 {
			a := (h0 + 2*h1) / (3 * (h0 + h1))
			m.slope[i] = before * after / (a*after + (1-a)*before)
		}
	}
	return m
}

// endSlope returns the slope at an end from three points, kept between none and
// three times the first secant, so that the curve doesn't turn back.
func endSlope(h0, h1, first, second float64) float64 {
	d := ((2*h0+h1)*first - h0*second) / (h0 + h1)
	return min(3*first, max(0, d))
}

// at returns the curve's height; beyond its ends that of the nearer one.
func (m *monotone) at(v float64) float64 {
	last := len(m.x) - 1
	if v <= m.x[0] {
		return m.y[0]
	}
	for i := range last {
		if v > m.x[i+1] {
			continue
		}
		h := m.x[i+1] - m.x[i]
		t := (v - m.x[i]) / h
		u := 1 - t
		return m.y[i]*u*u*(1+2*t) + m.slope[i]*h*t*u*u + m.y[i+1]*t*t*(3-2*t) - m.slope[i+1]*h*t*t*u
	}
	return m.y[last]
}

// toneCurve runs a curve through the tints, paper and solid; ok is false where a
// tint prints less than a lighter one, which no curve mends.
func toneCurve(tones []Tone, of func(Tone) (float64, bool)) (*monotone, bool) {
	xs, ys := []float64{0}, []float64{0}
	for _, t := range tones {
		v, ok := of(t)
		if !ok || t.Nominal <= xs[len(xs)-1] || v <= ys[len(ys)-1] {
			return nil, false
		}
		xs, ys = append(xs, t.Nominal), append(ys, v)
	}
	if len(xs) < 2 || ys[len(ys)-1] >= 100 || xs[len(xs)-1] >= 100 {
		return nil, false
	}
	return newMonotone(append(xs, 100), append(ys, 100)), true
}

// solve finds the tint at which a rising curve has a value.
func solve(curve *monotone, value float64) float64 {
	low, high := 0.0, 100.0
	for range 50 {
		mid := (low + high) / 2
		if curve.at(mid) < value {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
