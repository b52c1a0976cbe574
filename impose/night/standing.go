package night

import "quoin/impose/say"

// Standing is how good the plan is while the search goes on: what it takes of its
// measure, metres of web, minutes or money, and what no plan takes less than.
type Standing struct {
	By         Measure `json:"by"`
	Takes      float64 `json:"takes"`
	Bound      float64 `json:"bound"`
	GapPercent float64 `json:"gap_percent"`
	Proved     int     `json:"proved"` // groups of orders that are settled
	Groups     int     `json:"groups"`
}

// Text says so much of a measure; of money without its currency.
func (m Measure) Text(n float64) string {
	switch m {
	case Minutes:
		return say.Fixed(n, 1) + " min"
	case Money:
		return say.Fixed(n, 2)
	}
	return say.Fixed(n, 1) + " m of web"
}
