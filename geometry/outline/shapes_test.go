package outline

import (
	"math"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/geometry/trials"
)

const mm = geometry.Millimetre

func pos(across, around geometry.Length) geometry.Position {
	return geometry.Position{Across: across, Around: around}
}

func size(across, around geometry.Length) geometry.Size {
	return geometry.Size{Across: across, Around: around}
}

func need(t testing.TB) func(Outline, error) Outline {
	return func(o Outline, err error) Outline {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
}

func TestAreaOfShapes(t *testing.T) {
	ok := need(t)
	for _, c := range []struct {
		name      string
		o         Outline
		area      float64 // mm2
		perimeter float64 // mm
		within    float64
		size      geometry.Size
		convex    geometry.Length
	}{
		// TV-G19: w*h - (4-pi) r^2, elementary geometry.
		{name: "rectangle 50 x 75, r 3", o: ok(Rectangle(size(50*mm, 75*mm), 3*mm)),
			area: 50*75 - (4-math.Pi)*9, perimeter: 2*(44+69) + 2*math.Pi*3, within: 1e-6, size: size(50*mm, 75*mm), convex: 3 * mm},
		{name: "sharp rectangle", o: ok(Rectangle(size(50*mm, 75*mm), 0)),
			area: 3750, perimeter: 250, within: 1e-9, size: size(50*mm, 75*mm)},
		{name: "stadium", o: ok(Rectangle(size(20*mm, 60*mm), 10*mm)),
			area: 20*40 + 100*math.Pi, perimeter: 80 + 20*math.Pi, within: 1e-6, size: size(20*mm, 60*mm), convex: 10 * mm},
		{name: "circle", o: ok(Circle(40 * mm)),
			area: 400 * math.Pi, perimeter: 40 * math.Pi, within: 1e-6, size: size(40*mm, 40*mm), convex: 20 * mm},
		// The radius of an ellipse is least at the end of the long axis: b^2/a.
		{name: "ellipse", o: ok(Ellipse(size(60*mm, 30*mm))),
			area: 450 * math.Pi, perimeter: ramanujan(30, 15), within: 2e-4, size: size(60*mm, 30*mm), convex: 7500 * geometry.Micrometre},
		{name: "triangle", o: ok(New(Polygon(pos(0, 0), pos(30*mm, 0), pos(0, 40*mm)))),
			area: 600, perimeter: 120, within: 1e-9, size: size(30*mm, 40*mm)},
	} {
		near(t, c.name+": area", c.o.Area(), c.area, c.within)
		near(t, c.name+": perimeter", c.o.Perimeter(), c.perimeter, c.within)
		if got := c.o.Bounds(); got != geometry.BoxAt(pos(0, 0), c.size) {
			t.Errorf("%s: bounds %v", c.name, got)
		}
		radius, _ := c.o.LeastRadius(Convex)
		near(t, c.name+": least radius", float64(radius), float64(c.convex), 3e3)
		if r, bends := c.o.LeastRadius(Concave); bends {
			t.Errorf("%s: bends inwards with radius %v", c.name, r)
		}
	}
	// TV-G19 to its published digits.
	near(t, "TV-G19", ok(Rectangle(size(50*mm, 75*mm), 3*mm)).Area(), 3742.274, 5e-4)
}

// ramanujan gives the perimeter of an ellipse by Ramanujan's second formula
// (Modular equations and approximations to pi, 1914), good to 1e-9 here.
func ramanujan(a, b float64) float64 {
	h := (a - b) * (a - b) / ((a + b) * (a + b))
	return math.Pi * (a + b) * (1 + 3*h/(10+math.Sqrt(4-3*h)))
}

// TestCubicArea integrates a curve of known area: the parabola y = x (1 - x)
// over 0..1 encloses 1/6 with the axis; as a cubic its control points are by
// degree elevation at thirds.
func TestCubicArea(t *testing.T) {
	c := Contour{Start: pos(0, 0)}
	c.Curve(pos(100*mm, 100*mm), pos(200*mm, 100*mm), pos(300*mm, 0))
	c.Close()
	o := need(t)(New(c))
	// x = 300 t, y = 300 t (1 - t): area 300*300/6.
	near(t, "area", o.Area(), 15000, 1e-6)
	if got, want := o.Bounds(), geometry.BoxAt(pos(0, 0), size(300*mm, 75*mm)); got != want {
		t.Errorf("bounds are %v, want %v; those of the control points are too large", got, want)
	}
	// Length of the parabola y = 4 f x/L (1 - x/L), f = 75, L = 300 (Bronstein,
	// Handbook of Mathematics, arc of the parabola; from memory).
	k := 4 * 75.0 / 300
	arcLength := 150 * (math.Sqrt(1+k*k) + math.Asinh(k)/k)
	near(t, "perimeter", o.Perimeter(), arcLength+300, 1e-5)
	// The radius at the vertex is L^2/(8 f) = 150.
	radius, _ := o.LeastRadius(Convex)
	if radius != 0 { // the two ends are sharp
		t.Errorf("least radius is %v, want 0", radius)
	}
}

func TestHoles(t *testing.T) {
	outer := need(t)(Rectangle(size(40*mm, 40*mm), 0))
	hole := need(t)(Circle(10 * mm)).Moved(size(15*mm, 15*mm))
	island := need(t)(Circle(4 * mm)).Moved(size(18*mm, 18*mm))
	o := need(t)(New(hole.Contours()[0], island.Contours()[0], outer.Contours()[0].Reversed()))
	near(t, "area", o.Area(), 1600-25*math.Pi+4*math.Pi, 1e-6)
	for _, c := range []struct {
		p  geometry.Position
		in bool
	}{
		{pos(5*mm, 5*mm), true}, {pos(16*mm, 20*mm), false}, {pos(20*mm, 20*mm), true},
		{pos(-1, 20*mm), false}, {pos(41*mm, 20*mm), false}, {pos(39*mm, 39*mm), true},
	} {
		if got := o.Contains(c.p); got != c.in {
			t.Errorf("contains %v: %v", c.p, got)
		}
	}
	parts := o.Parts()
	if len(parts) != 2 || len(parts[0].Contours()) != 2 || len(parts[1].Contours()) != 1 {
		t.Fatalf("parts: %v", parts)
	}
	near(t, "ring", parts[0].Area(), 1600-25*math.Pi, 1e-6)
	// The hole shrinks when the shape grows, and the island grows into it.
	grown := need(t)(o.Outset(mm))
	near(t, "grown", grown.Area(), 1600+160+math.Pi-16*math.Pi+9*math.Pi, 0.05)
	// Shrinking: the hole grows, the island shrinks.
	shrunk := need(t)(o.Inset(mm))
	near(t, "shrunk", shrunk.Area(), 38*38-36*math.Pi+math.Pi, 0.05)
	// The hole closes before the outset reaches its radius less the island's.
	closed := need(t)(o.Outset(5 * mm))
	if len(closed.Contours()) != 1 {
		t.Errorf("a hole of radius 5 mm is left by an outset of 5 mm")
	}
}

func TestNewRefuses(t *testing.T) {
	var open Contour
	open.Line(pos(mm, 0))
	open.Line(pos(mm, mm))
	bow := Contour{}
	for _, p := range []geometry.Position{pos(10*mm, 10*mm), pos(10*mm, 0), pos(0, 11*mm)} {
		bow.Line(p)
	}
	bow.Close()
	flat := Contour{}
	flat.Line(pos(mm, 0))
	flat.Close()
	far := Contour{}
	far.Line(pos(2*Reach, 0))
	far.Line(pos(0, mm))
	far.Close()
	steep := Contour{}
	steep.Arc(pos(mm, 0), 1e9)
	steep.Close()
	for name, want := range map[string]struct {
		contours []Contour
		text     string
	}{
		"none":    {nil, "the outline has no contour"},
		"open":    {[]Contour{open}, "the contour is open: it does not come back to its start, at 0, 0 mm"},
		"empty":   {[]Contour{{}}, "the contour has no length, at 0, 0 mm"},
		"flat":    {[]Contour{flat}, "the contour encloses no area, at 0, 0 mm"},
		"crossed": {[]Contour{bow}, "the outline crosses itself, at 5.238, 5.238 mm"},
		"far":     {[]Contour{far}, "the contour goes farther than 10000 mm from the origin, at 20000, 0 mm"},
		"bulge":   {[]Contour{steep}, "an arc has the bulge 1e+09; a nearly full circle is drawn as two halves, at 1, 0 mm"},
	} {
		if _, err := New(want.contours...); err == nil || err.Error() != want.text {
			t.Errorf("%s: %v, want %s", name, err, want.text)
		}
	}
	if _, err := Rectangle(size(10*mm, 20*mm), 6*mm); err == nil {
		t.Error("a radius beyond half the side is taken")
	}
	if _, err := Circle(0); err == nil {
		t.Error("a circle of nothing is taken")
	}
	if _, err := New(Polygon(pos(0, 0), pos(mm, 0))); err == nil {
		t.Error("a polygon of two corners is taken")
	}
}

func TestTurned(t *testing.T) {
	// An L: counter-clockwise turns move its foot from the lower right.
	l := need(t)(New(Polygon(pos(0, 0), pos(10*mm, 0), pos(10*mm, 20*mm), pos(30*mm, 20*mm), pos(30*mm, 30*mm), pos(0, 30*mm))))
	foot := pos(25*mm, 25*mm) // lower right, as seen
	for turn, want := range []geometry.Position{
		foot, pos(25*mm, 5*mm), pos(5*mm, 5*mm), pos(5*mm, 25*mm),
	} {
		o := l.Turned(geometry.Turn(turn)).At(pos(0, 0))
		corners := 0
		for _, p := range []geometry.Position{foot, pos(25*mm, 5*mm), pos(5*mm, 5*mm), pos(5*mm, 25*mm)} {
			if o.Contains(p) {
				corners++
			}
		}
		if !o.Contains(want) || corners != 3 {
			t.Errorf("turn %d: the foot is not at %v", turn, want)
		}
	}
}

// TestTooIntricate: what would take all memory or all day is refused.
func TestTooIntricate(t *testing.T) {
	wide := Contour{Start: pos(0, 0)}
	for i := range 150 { // half circles of 9 m, flattened to a micrometre
		wide.Arc(pos(9*geometry.Metre, geometry.Length(i)*mm), 1)
		wide.Arc(pos(-9*geometry.Metre, geometry.Length(i)*mm), 1)
	}
	wide.Close()
	if _, err := New(wide); err == nil || !strings.Contains(err.Error(), "too intricate") {
		t.Errorf("too many corners: %v", err)
	}
	if testing.Short() {
		return
	}
	if !trials.Long() { // it is given up alike, sooner
		defer func(n int) { mostLooks = n }(mostLooks)
		mostLooks = 3_000_000
	}
	comb := Contour{Start: pos(0, 0)}
	for range 20_000 { // up and down on the same line
		comb.Line(pos(0, 100*mm))
		comb.Line(pos(0, 0))
	}
	comb.Line(pos(5*mm, 0))
	comb.Line(pos(5*mm, -5*mm))
	comb.Close()
	if _, err := New(comb); err == nil || !strings.Contains(err.Error(), "too intricate") {
		t.Errorf("too many lines on top of each other: %v", err)
	}
}

// BenchmarkNew makes the outline of a die of 500 stations.
func BenchmarkNew(b *testing.B) {
	var contours []Contour
	h := heart(b)
	for i := range 500 {
		contours = append(contours, h.Moved(size(geometry.Length(i%20)*45*mm, geometry.Length(i/20)*45*mm)).Contours()...)
	}
	for b.Loop() {
		if _, err := New(contours...); err != nil {
			b.Fatal(err)
		}
	}
}
