package outline

import (
	"math"
	"testing"

	"quoin/geometry"
)

// TestClearanceOfKnownPairs uses distances that elementary geometry gives.
func TestClearanceOfKnownPairs(t *testing.T) {
	ok := need(t)
	circle := ok(Circle(40 * mm))
	odd := ok(Circle(40*mm + 1))
	round := ok(Rectangle(size(50*mm, 30*mm), 5*mm))
	sharp := ok(Rectangle(size(50*mm, 30*mm), 0))
	ellipse := ok(Ellipse(size(60*mm, 30*mm)))
	nm := func(v float64) geometry.Length { return geometry.Length(math.Round(v)) }
	for _, c := range []struct {
		name string
		a, b Outline
		by   geometry.Size
		want geometry.Length
		off  geometry.Length
	}{
		{"circles side by side", circle, circle, size(43*mm, 0), 3 * mm, 0},
		{"circles of an odd diameter", odd, odd, size(43*mm+1, 0), 3 * mm, 0},
		{"circles aslant, 3-4-5", circle, circle, size(36*mm, 27*mm), 5 * mm, 0},
		{"circles touch", circle, circle, size(24*mm, 32*mm), 0, 0},
		{"circles overlap", circle, circle, size(10*mm, 0), 0, 0},
		{"the same", circle, circle, size(0, 0), 0, 0},
		{"rectangles across", sharp, sharp, size(53*mm, 20*mm), 3 * mm, 0},
		{"rectangles, corner to corner, 3-4-5", sharp, sharp, size(53*mm, 34*mm), 5 * mm, 0},
		{"round corners, corner to corner", round, round, size(53*mm, 34*mm), nm(math.Hypot(13e6, 14e6) - 10e6), 0},
		{"round rectangles around", round, round, size(10*mm, 33*mm), 3 * mm, 0},
		{"circle in a corner's way", circle, sharp, size(45*mm, 45*mm), nm(25e6*math.Sqrt2 - 20e6), 0},
		// The ends of the axes: 60 + 3 and 30 + 3.
		{"ellipses end to end", ellipse, ellipse, size(63*mm, 0), 3 * mm, 0},
		{"ellipses side by side", ellipse, ellipse, size(0, 33*mm), 3 * mm, 0},
	} {
		got := Clearance(c.a, c.b.Moved(c.by))
		if got > c.want || got < c.want-c.off {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	inner := ok(Circle(10 * mm)).Moved(size(15*mm, 15*mm))
	frame := ok(New(ok(Rectangle(size(40*mm, 40*mm), 0)).Contours()[0], ok(Circle(20 * mm)).Moved(size(10*mm, 10*mm)).Contours()[0]))
	if got := Clearance(frame, inner); got != 5*mm {
		t.Errorf("a disc in a hole: %v, want 5 mm", got)
	}
	if got := Clearance(ok(Circle(40*mm)), inner); got != 0 {
		t.Errorf("a disc in a disc: %v, want 0", got)
	}
}

// TestEllipseDistance compares the distance of two ellipses aslant with one
// found by a plain search over both parameters.
func TestEllipseDistance(t *testing.T) {
	e := need(t)(Ellipse(size(60*mm, 30*mm)))
	got := float64(Clearance(e, e.Moved(size(40*mm, 28*mm))))
	on := func(v float64, dx, dy float64) vec {
		return vec{30e6 + dx + 30e6*math.Cos(v), 15e6 + dy + 15e6*math.Sin(v)}
	}
	best, u, v := math.Inf(1), 0.0, 0.0
	for span, cu, cv := math.Pi, 0.0, 0.0; span > 1e-10; span /= 4 {
		for i := -40; i <= 40; i++ {
			for j := -40; j <= 40; j++ {
				a, b := cu+span*float64(i)/40, cv+span*float64(j)/40
				if d := on(a, 0, 0).minus(on(b, 40e6, 28e6)).len(); d < best {
					best, u, v = d, a, b
				}
			}
		}
		cu, cv = u, v
	}
	near(t, "distance", got, best, 4) // 7e-8 of the radius for the curves, 1 nm for the rest
}

func TestWaist(t *testing.T) {
	ok := need(t)
	// A comb with a slot 4 mm wide.
	comb := ok(New(Polygon(pos(0, 0), pos(10*mm, 0), pos(10*mm, 20*mm), pos(14*mm, 20*mm), pos(14*mm, 0), pos(24*mm, 0), pos(24*mm, 30*mm), pos(0, 30*mm))))
	// A keyhole: a round hollow of 10 mm behind a neck of 2 mm.
	key := Contour{Start: pos(0, 0)}
	key.Line(pos(9*mm, 0))
	key.Line(pos(9*mm, 5*mm))
	key.Arc(pos(11*mm, 5*mm), -(5 + math.Sqrt(24))) // radius 5, round the far way
	key.Line(pos(11*mm, 0))
	key.Line(pos(20*mm, 0))
	key.Line(pos(20*mm, 30*mm))
	key.Line(pos(0, 30*mm))
	key.Close()
	keyhole := ok(New(key))
	notch := ok(New(Polygon(pos(0, 0), pos(8*mm, 0), pos(12*mm, 15*mm), pos(16*mm, 0), pos(24*mm, 0), pos(24*mm, 30*mm), pos(0, 30*mm))))
	heart := heart(t)
	for _, c := range []struct {
		name string
		o    Outline
		want geometry.Length
		some bool
	}{
		{"rectangle", ok(Rectangle(size(20*mm, 20*mm), 2*mm)), 0, false},
		{"circle", ok(Circle(20 * mm)), 0, false},
		{"slot", comb, 4 * mm, true},
		{"slot, turned", comb.Turned(geometry.Turn270), 4 * mm, true},
		{"keyhole", keyhole, 2 * mm, true},
		{"notch", notch, 0, false},
		{"heart", heart, 0, false},
	} {
		got, some := c.o.Waist()
		if some != c.some || max(got-c.want, c.want-got) > 2*Flatness {
			t.Errorf("%s: %v %v, want %v %v", c.name, got, some, c.want, c.some)
		}
	}
	if r, bends := comb.LeastRadius(Concave); !bends || r != 0 {
		t.Errorf("the slot's corners: %v %v, want sharp", r, bends)
	}
	if r, bends := keyhole.LeastRadius(Concave); !bends || r != 5*mm {
		t.Errorf("the keyhole: %v %v, want 5 mm", r, bends)
	}
}

// heart is a shape of our own of curves, 40 mm high, with a notch on top.
func heart(t testing.TB) Outline {
	c := Contour{Start: pos(20*mm, 8*mm)}
	c.Curve(pos(24*mm, -4*mm), pos(42*mm, -2*mm), pos(40*mm, 14*mm))
	c.Curve(pos(39*mm, 24*mm), pos(28*mm, 32*mm), pos(20*mm, 40*mm))
	c.Curve(pos(12*mm, 32*mm), pos(1*mm, 24*mm), pos(0, 14*mm))
	c.Curve(pos(-2*mm, -2*mm), pos(16*mm, -4*mm), pos(20*mm, 8*mm))
	return need(t)(New(c))
}

// TestClearanceFarOut: distances hold at the far ends of the coordinates.
func TestClearanceFarOut(t *testing.T) {
	a := need(t)(Circle(40 * mm)).Moved(size(Reach-50*mm, Reach-50*mm))
	if got := Clearance(a, a.Moved(size(-43*mm, 0))); got != 3*mm {
		t.Errorf("far out: %v, want 3 mm", got)
	}
}

func BenchmarkOutset(b *testing.B) {
	o := heart(b)
	for b.Loop() {
		if _, err := o.Outset(2 * mm); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkClearance(b *testing.B) {
	o := heart(b)
	p := o.Moved(size(43*mm, 5*mm))
	for b.Loop() {
		Clearance(o, p)
	}
}

// Clearance returns the true distance between two outlines, 0 when they touch or
// overlap, to the nearest nanometre: the shortest way from any place of one to
// any place of the other. A piece that lies in the other's hole is measured to
// the hole's edge.
//
// Lines and arcs are exact, and so are circles and rectangles of them; curves
// are known to a quarter of a nanometre before the rounding.
func Clearance(a, b Outline) geometry.Length {
	d := NewGauge(a).Separation(NewGauge(b), geometry.Size{}, math.Inf(1))
	if math.IsInf(d, 1) {
		return math.MaxInt64 // nothing is far from everything
	}
	return geometry.Length(math.Round(max(d, 0)))
}
