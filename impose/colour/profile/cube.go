package profile

import "slices"

// cube is a grid of three outputs; the last input's steps lie closest together.
type cube struct {
	steps  []int
	values []float64
}

// apply interpolates: tetrahedra in the last three inputs, which keep greys
// grey, and straight lines in those before.
func (c *cube) apply(v []float64) []float64 {
	at := make([]int, len(v)) // the lower corner
	part := make([]float64, len(v))
	stride := make([]int, len(v))
	n := 3
	for i := len(v) - 1; i >= 0; i-- {
		x := clamp(v[i]) * float64(c.steps[i]-1)
		at[i] = min(int(x), c.steps[i]-2)
		part[i] = x - float64(at[i])
		stride[i] = n
		n *= c.steps[i]
	}
	from := 0
	for i := range at {
		from += at[i] * stride[i]
	}
	out := make([]float64, 3)
	c.blend(out, from, 1, part, stride)
	return out
}

// blend adds what the corner at from and those behind it weigh.
func (c *cube) blend(out []float64, from int, weight float64, part []float64, stride []int) {
	if weight == 0 {
		return
	}
	if len(part) > 3 {
		c.blend(out, from, weight*(1-part[0]), part[1:], stride[1:])
		c.blend(out, from+stride[0], weight*part[0], part[1:], stride[1:])
		return
	}
	// A tetrahedron is a walk from the lower corner to the upper, along the
	// inputs in the order of their parts.
	var room [3]int
	order := room[:len(part)]
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case part[a] > part[b]:
			return -1
		case part[a] < part[b]:
			return 1
		}
		return 0
	})
	left := 1.0
	for _, i := range order {
		c.addWeighted(out, from, weight*(left-part[i]))
		left = part[i]
		from += stride[i]
	}
	c.addWeighted(out, from, weight*left)
}

func (c *cube) addWeighted(out []float64, from int, weight float64) {
	if weight == 0 { // the corner may lie outside the grid
		return
	}
	for k := range out {
		out[k] += weight * c.values[from+k]
	}
}
