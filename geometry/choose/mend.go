package choose

import "math"

// mend lets runs that are known and surpluses enter the basis until no row falls short,
// those first that cost least for what they bring (C. E. Lemke, "The dual method of solving
// the linear programming problem", Naval Research Logistics Quarterly 1, 1954). It reports
// false where that doesn't end.
func (m *master) mend() bool {
	known := len(m.runs)
	rho, brings, costs := make([]float64, m.n), make([]float64, known+m.n), make([]float64, known+m.n)
	for k := range m.runs {
		costs[k] = m.runs[k].cost - m.runs[k].worth(m.price)
	}
	for range 4 * m.n {
		leave := lacks(m.x)
		if leave < 0 {
			return true
		}
		for i := range rho {
			rho[i] = m.inv[i*m.n+leave]
		}
		for k := range m.runs {
			brings[k], costs[k] = -m.runs[k].worth(rho), math.Max(0, costs[k])
		}
		for i, v := range rho {
			brings[known+i], costs[known+i] = v, math.Max(0, m.price[i])
		}
		m.work += int64(8 * known)
		at := entering(brings, costs)
		if at < 0 {
			return false
		}
		clear(m.row)
		c, cost, surplus := cast{grade: spared}, 0.0, at-known
		if at < known {
			c, cost, surplus = m.runs[at].cast, m.runs[at].cost, -1
			m.runs[at].to(m.row)
		} else {
			m.row[surplus] = -1
		}
		if m.direct(); m.dir[leave] > -1e-9 {
			return false
		}
		m.exchange(leave, c, cost, surplus)
		of := costs[at] / brings[at]
		for k := range m.runs {
			costs[k] -= of * brings[k]
		}
	}
	return false
}

// lacks returns the column that falls short most; -1 where none does, and those that do by a
// rounding are set to 0.
func lacks(x []float64) int {
	at, least := -1, -1e-9
	for k, v := range x {
		if v < least {
			at, least = k, v
		}
	}
	if at < 0 {
		for k, v := range x {
			x[k] = math.Max(0, v)
		}
	}
	return at
}

// entering returns the column that costs least for what it brings, and of those that cost
// about the same the one that brings most; -1: none brings anything.
func entering(brings, costs []float64) int {
	const about = 1e-7
	at, first := -1, math.Inf(1)
	for k, v := range brings {
		if v > about {
			first = min(first, (costs[k]*(1+1e-9)+about)/v)
		}
	}
	for k, v := range brings {
		if v > about && costs[k] <= first*v && (at < 0 || v > brings[at]) {
			at = k
		}
	}
	return at
}
