package artwork

// lie says how an area lies to a box.
type lie int

const (
	outside    lie = iota // they share nothing
	across                // they share something, or nobody knows
	throughout            // the box is all in the area
)

// way is the course of a path in the page's space, its curves as chords: subpaths
// one behind the other, each closed.
type way struct {
	parts [][]point
	odd   bool // the even-odd rule
}

type point struct{ x, y float64 }

// chords is into how many a curve is cut: they are apart from it by less than an
// eighth of its square's part of the curve's size, a hundredth of a millimetre in
// ten centimetres.
const chords = 32

// build adds an operator that builds paths (8.5.2).
func (w *way) build(op string, args []float64, m Matrix) {
	at := func(i int) point {
		x, y := m.Apply(args[i], args[i+1])
		return point{x, y}
	}
	n := len(w.parts)
	switch {
	case op == "re" && len(args) == 4:
		x, y, right, top := args[0], args[1], args[0]+args[2], args[1]+args[3]
		var corners []point
		for _, c := range [][2]float64{{x, y}, {right, y}, {right, top}, {x, top}, {x, y}} {
			px, py := m.Apply(c[0], c[1])
			corners = append(corners, point{px, py})
		}
		w.parts = append(w.parts, corners)
	case op == "m" && len(args) == 2:
		w.parts = append(w.parts, []point{at(0)})
	case n == 0:
	case op == "h":
		part := w.parts[n-1]
		if len(part) > 1 {
			w.parts[n-1] = append(part, part[0])
			w.parts = append(w.parts, []point{part[0]})
		}
	case op == "l" && len(args) == 2:
		w.parts[n-1] = append(w.parts[n-1], at(0))
	case op == "c" && len(args) == 6:
		w.curve(at(0), at(2), at(4))
	case op == "v" && len(args) == 4:
		w.curve(w.parts[n-1][len(w.parts[n-1])-1], at(0), at(2))
	case op == "y" && len(args) == 4:
		w.curve(at(0), at(2), at(2))
	}
}

func (w *way) curve(b, c, d point) {
	part := &w.parts[len(w.parts)-1]
	a := (*part)[len(*part)-1]
	for i := 1; i <= chords; i++ {
		t := float64(i) / chords
		s := 1 - t
		k0, k1, k2, k3 := s*s*s, 3*s*s*t, 3*s*t*t, t*t*t
		*part = append(*part, point{k0*a.x + k1*b.x + k2*c.x + k3*d.x, k0*a.y + k1*b.y + k2*c.y + k3*d.y})
	}
}

// around returns the way around a box that a matrix has turned.
func around(r Rect, m Matrix) *way {
	w := &way{}
	w.build("re", []float64{r[0], r[1], r.Width(), r.Height()}, m)
	return w
}

// fill tells how the area that the path encloses lies to a box.
func (w *way) fill(box Rect) lie {
	if w.line(box) == across {
		return across
	}
	turns, crossed := 0, 0
	x, y := (box[0]+box[2])/2, (box[1]+box[3])/2
	w.edges(func(a, b point) bool {
		if a.y <= y == (b.y <= y) || a.x+(y-a.y)/(b.y-a.y)*(b.x-a.x) <= x {
			return true
		}
		crossed++
		if a.y < b.y {
			turns++
		} else {
			turns--
		}
		return true
	})
	if w.odd && crossed%2 == 1 || !w.odd && turns != 0 {
		return throughout
	}
	return outside
}

// line reports whether the path's course touches a box.
func (w *way) line(box Rect) lie {
	how := outside
	w.edges(func(a, b point) bool {
		if meets(a, b, box) {
			how = across
		}
		return how == outside
	})
	return how
}

// edges hands out the path's edges, with those that close its parts.
func (w *way) edges(see func(a, b point) bool) {
	for _, part := range w.parts {
		for i := range part {
			if !see(part[i], part[(i+1)%len(part)]) {
				return
			}
		}
	}
}

// meets reports whether a line from a to b touches a box (Liang and Barsky's
// clipping of lines).
func meets(a, b point, box Rect) bool {
	from, to := 0.0, 1.0
	for _, c := range [4][2]float64{
		{a.x - b.x, a.x - box[0]}, {b.x - a.x, box[2] - a.x}, {a.y - b.y, a.y - box[1]}, {b.y - a.y, box[3] - a.y},
	} {
		switch p, q := c[0], c[1]; {
		case p == 0 && q < 0:
			return false
		case p < 0:
			from = max(from, q/p)
		case p > 0:
			to = min(to, q/p)
		}
	}
	return from <= to
}
