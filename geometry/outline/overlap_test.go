package outline

import (
	"testing"

	"pgregory.net/rapid"

	"quoin/geometry"
)

// cells is a shape of unit squares: whether two of them overlap is a matter of
// sharing a square, with no geometry at all.
type cells map[[2]int64]bool

// randomCells grows a shape square by square from one.
func randomCells(t *rapid.T, name string) cells {
	c := cells{{0, 0}: true}
	order := [][2]int64{{0, 0}}
	for range rapid.IntRange(0, 9).Draw(t, name+" squares") {
		from := order[rapid.IntRange(0, len(order)-1).Draw(t, name+" from")]
		way := rapid.SampledFrom([][2]int64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}).Draw(t, name+" way")
		if to := [2]int64{from[0] + way[0], from[1] + way[1]}; !c[to] {
			c[to] = true
			order = append(order, to)
		}
	}
	return c
}

// outline gives the boundary of the shape, each square a parallelogram of the
// sides u and v, so that lines slant and still meet at corners. Shapes that
// touch themselves at a corner only are left to others: no label does.
func (c cells) outline(u, v pt) (Outline, bool) {
	at := func(p [2]int64) pt { return pt{p[0]*u.x + p[1]*v.x, p[0]*u.y + p[1]*v.y} }
	next := map[[2]int64][2]int64{}
	clear := true
	add := func(from, to [2]int64) {
		if _, taken := next[from]; taken {
			clear = false
		}
		next[from] = to
	}
	for p := range c {
		x, y := p[0], p[1]
		if !c[[2]int64{x, y - 1}] {
			add([2]int64{x, y}, [2]int64{x + 1, y})
		}
		if !c[[2]int64{x + 1, y}] {
			add([2]int64{x + 1, y}, [2]int64{x + 1, y + 1})
		}
		if !c[[2]int64{x, y + 1}] {
			add([2]int64{x + 1, y + 1}, [2]int64{x, y + 1})
		}
		if !c[[2]int64{x - 1, y}] {
			add([2]int64{x, y + 1}, [2]int64{x, y})
		}
	}
	if !clear {
		return Outline{}, false
	}
	var contours []Contour
	for len(next) > 0 {
		var start [2]int64
		for start = range next {
			break
		}
		place := func(p [2]int64) geometry.Position { return pos(geometry.Length(at(p).x), geometry.Length(at(p).y)) }
		k := Contour{Start: place(start)}
		for here := start; ; {
			to := next[here]
			delete(next, here)
			k.Line(place(to))
			if here = to; here == start {
				break
			}
		}
		contours = append(contours, k)
	}
	o, err := New(contours...)
	return o, err == nil
}

func (c cells) shares(d cells, x, y int64) bool {
	for p := range d {
		if c[[2]int64{p[0] + x, p[1] + y}] {
			return true
		}
	}
	return false
}

// TestOverlapIsExact: shapes of squares overlap exactly if they share one, at
// every place where they touch, run along each other or lie on each other.
func TestOverlapIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom([]pt{{1_000_000, 0}, {999_983, 31}, {3, 1}, {700_001, -400_003}}).Draw(t, "u")
		v := rapid.SampledFrom([]pt{{0, 1_000_000}, {17, 1_000_003}, {-1, 2}, {300_007, 900_001}}).Draw(t, "v")
		c, d := randomCells(t, "a"), randomCells(t, "b")
		a, ok := c.outline(u, v)
		b, also := d.outline(u, v)
		if !ok || !also {
			t.Skip("touches itself")
		}
		ga, gb := NewGauge(a), NewGauge(b)
		for x := int64(-10); x <= 10; x++ {
			for y := int64(-10); y <= 10; y++ {
				by := geometry.Size{Across: geometry.Length(x*u.x + y*v.x), Around: geometry.Length(x*u.y + y*v.y)}
				if got, want := !ga.Keeps(gb, by, 0), c.shares(d, x, y); got != want {
					t.Fatalf("moved by %d, %d squares: overlap %v, want %v\n%v\n%v", x, y, got, want, c, d)
				}
				if got, want := ga.Separation(gb, by, 1e9) < 0, c.shares(d, x, y); got != want {
					t.Fatalf("moved by %d, %d squares: separation below 0 is %v, want %v", x, y, got, want)
				}
			}
		}
		if !ga.Keeps(gb, geometry.Size{Across: 40 * mm, Around: 40 * mm}, 0) {
			t.Fatal("far off, and yet an overlap")
		}
	})
}

// TestOverlapOfPlainShapes names the shapes that a test of corners, middles or
// majorities takes for apart.
func TestOverlapOfPlainShapes(t *testing.T) {
	ok := need(t)
	chevron := ok(New(Polygon(pos(0, 20*mm), pos(30*mm, 0), pos(60*mm, 20*mm), pos(60*mm, 40*mm), pos(30*mm, 20*mm), pos(0, 40*mm))))
	slanted := ok(New(Polygon(pos(20*mm, 0), pos(60*mm, 0), pos(40*mm, 30*mm), pos(0, 30*mm))))
	square := ok(Rectangle(size(20*mm, 20*mm), 0))
	ring := ok(New(ok(Rectangle(size(40*mm, 40*mm), 0)).Contours()[0], square.Moved(size(10*mm, 10*mm)).Contours()[0]))
	circle := ok(Circle(40 * mm))
	for _, c := range []struct {
		name string
		a, b Outline
		by   geometry.Size
		keep bool
	}{
		{"chevrons stacked", chevron, chevron, size(0, 20*mm), true},
		{"chevrons 1.28 mm inside each other, sides along sides", chevron, chevron, size(0, 18_720*geometry.Micrometre), false},
		{"chevrons a nanometre inside each other", chevron, chevron, size(0, 20*mm-1), false},
		{"parallelograms side by side", slanted, slanted, size(40*mm, 0), true},
		{"parallelograms a nanometre inside each other", slanted, slanted, size(40*mm-1, 0), false},
		{"a plug in its hole", ring, square, size(10*mm, 10*mm), true},
		{"a plug a nanometre off its hole", ring, square, size(10*mm+1, 10*mm), false},
		{"the same", chevron, chevron, size(0, 0), false},
		{"circles touch", circle, circle, size(40*mm, 0), true},
		{"circles touch, 3-4-5", circle, circle, size(24*mm, 32*mm), true},
		{"circles overlap", circle, circle, size(40*mm-2, 0), false},
		{"the same circle", circle, circle, size(0, 0), false},
	} {
		if got := NewGauge(c.a).Keeps(NewGauge(c.b), c.by, 0); got != c.keep {
			t.Errorf("%s: kept apart %v, want %v", c.name, got, c.keep)
		}
		if got := NewGauge(c.b).Keeps(NewGauge(c.a), size(-c.by.Across, -c.by.Around), 0); got != c.keep {
			t.Errorf("%s, the other way: kept apart %v, want %v", c.name, got, c.keep)
		}
	}
}
