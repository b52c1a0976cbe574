package apart

import (
	"cmp"
	"slices"
)

// Placed is a label on a frame: its shape, which pairs of places with equal
// shapes share, and how far it is moved.
type Placed struct {
	Shape *Shape
	By    Point
}

// Least is the nearest pair, or the one that overlaps most, of a frame.
type Least struct {
	Distance float64 // of sides
	Area     float64 // in which labels overlap, of the worst pair
	Depth    float64 // of the worst pair
	A, B     int     // that pair; B may be of the next frame
	Next     bool    // B is of the next frame, A itself perhaps
}

// Measure looks at all pairs of labels that come nearer than the limit,
// on the frame and on the ring that it makes: the web carries one
// frame of the repeat behind the other. Equal moves of equal shapes are looked at
// once.
func Measure(labels []Placed, repeat, limit float64) Least {
	type pair struct {
		a, b *Shape
		by   Point
	}
	seen := map[pair]bool{}
	least := Least{Distance: limit}
	order := make([]int, len(labels))
	tallest := 0.0
	for i := range order {
		order[i] = i
		tallest = max(tallest, labels[i].Shape.hi.Y-labels[i].Shape.lo.Y)
	}
	top := func(i int) float64 { return labels[i].Shape.lo.Y + labels[i].By.Y }
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(top(i), top(j)) })
	n := len(order)
	for k, i := range order {
		for m := k + 1; ; m++ {
			j, around := order[m%n], float64(m/n)*repeat
			if top(j)+around-top(i) > tallest+limit || m > k+2*n && repeat <= 0 {
				break
			}
			a, b := labels[i], labels[j]
			by := Point{b.By.X - a.By.X, b.By.Y - a.By.Y + around}
			key := pair{a.Shape, b.Shape, by}
			if seen[key] || a.Shape.lo.X > b.Shape.hi.X+by.X+limit || b.Shape.lo.X+by.X > a.Shape.hi.X+limit {
				continue
			}
			seen[key] = true
			other := b.Shape.Moved(by)
			area, depth := a.Shape.Overlap(other)
			distance := a.Shape.Distance(other, least.Distance)
			if depth > least.Depth || area > least.Area || least.Area == 0 && distance < least.Distance {
				least.A, least.B, least.Next = i, j, m >= n
			}
			least.Depth, least.Area, least.Distance = max(least.Depth, depth), max(least.Area, area), min(least.Distance, distance)
		}
	}
	return least
}
