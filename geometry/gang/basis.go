package gang

import "math"

// basis is that of a covering LP, min cost.x with rows made.x >= demand: as many
// columns as rows, with the inverse of what they make.
type basis struct {
	inv   [][]float64 // inverse of the basis
	x     []float64   // how much of each column of the basis
	cost  []float64   // of the columns of the basis
	price []float64   // of the rows
}

func newBasis(n int) basis {
	return basis{make([][]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)}
}

// setPrices computes what a unit of each row is worth to the basis.
func (k *basis) setPrices() {
	clear(k.price)
	for r, row := range k.inv {
		for i, v := range row {
			k.price[i] += k.cost[r] * v
		}
	}
}

// enter brings a column into the basis and returns the place that it takes.
func (k *basis) enter(made []float64, cost float64) (at int, ok bool) {
	n := len(k.x)
	dir := make([]float64, n)
	leave, ratio := -1, math.Inf(1)
	for r, row := range k.inv {
		u := 0.0
		for i, v := range row {
			u += v * made[i]
		}
		dir[r] = u
		if u > tiny {
			if q := k.x[r] / u; q < ratio {
				leave, ratio = r, q
			}
		}
	}
	if leave < 0 {
		return 0, false
	}
	pivot := k.inv[leave]
	for i := range pivot {
		pivot[i] /= dir[leave]
	}
	for r, row := range k.inv {
		if f := dir[r]; r != leave && f != 0 {
			for i, v := range pivot {
				row[i] -= f * v
			}
			k.x[r] = max(0, k.x[r]-f*ratio)
		}
	}
	k.x[leave], k.cost[leave] = ratio, cost
	k.setPrices()
	return leave, true
}
