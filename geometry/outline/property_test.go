package outline

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"quoin/geometry"
	"quoin/geometry/trials"
)

// star draws a random polygon seen whole from its middle: simple, and as a rule
// not convex.
func star(t *rapid.T, name string) Outline {
	n := rapid.IntRange(3, 14).Draw(t, name+" corners")
	c := Contour{}
	for i := range n {
		r := float64(rapid.IntRange(4_000_000, 40_000_000).Draw(t, name+" radius"))
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		p := nearest(vec{r * cos, r * sin})
		if i == 0 {
			c.Start = p
		} else {
			c.Line(p)
		}
	}
	c.Close()
	o, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// curved draws a random outline of lines, arcs and cubic curves: a star whose
// sides bend a little.
func curved(t *rapid.T, name string) Outline {
	base := star(t, name).Contours()[0]
	c := Contour{Start: base.Start}
	from := at(base.Start)
	for _, s := range base.Segments {
		to := at(s.To)
		d := to.minus(from)
		bend := float64(rapid.IntRange(-100, 100).Draw(t, name+" bend")) / 1000
		switch rapid.IntRange(0, 2).Draw(t, name+" kind") {
		case 0:
			c.Line(s.To)
		case 1:
			c.Arc(s.To, bend)
		case 2:
			off := d.left().times(bend)
			c.Curve(nearest(from.mix(to, 0.3).plus(off)), nearest(from.mix(to, 0.7).minus(off)), s.To)
		}
		from = to
	}
	o, err := New(c)
	if err != nil {
		t.Skip("bent sides cross")
	}
	return o
}

// convex draws a convex outline: a polygon with corners on a circle, or a
// rectangle with round corners.
func convex(t *rapid.T) Outline {
	if rapid.Bool().Draw(t, "rounded") {
		w := geometry.Length(rapid.IntRange(2_000_000, 90_000_000).Draw(t, "w"))
		h := geometry.Length(rapid.IntRange(2_000_000, 90_000_000).Draw(t, "h"))
		r := geometry.Length(rapid.Int64Range(0, int64(min(w, h)/2)).Draw(t, "r"))
		o, err := Rectangle(size(w, h), r)
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
	n := rapid.IntRange(3, 30).Draw(t, "corners")
	r := float64(rapid.IntRange(2_000_000, 60_000_000).Draw(t, "r"))
	var corners []geometry.Position
	for i := range n {
		sin, cos := math.Sincos(2*math.Pi*float64(i)/float64(n) + 0.1)
		corners = append(corners, nearest(vec{r * cos, 0.6 * r * sin}))
	}
	o, err := New(Polygon(corners[0], corners[1:]...))
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// TestSteiner holds growing against Steiner's formula for convex shapes,
// A + P d + pi d^2 (J. Steiner, Über parallele Flächen, 1840), both by the exact
// way and by the general one.
func TestSteiner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := convex(t)
		d := geometry.Length(rapid.IntRange(1_000, 8_000_000).Draw(t, "d"))
		want := o.Area() + o.Perimeter()*d.MM() + math.Pi*d.MM()*d.MM()
		grown, err := o.Outset(d)
		if err != nil {
			t.Fatal(err)
		}
		// Corners are rounded to a nanometre, which may move the line by one.
		near(t, "exact area", grown.Area(), want, geometry.Nanometre.MM()*grown.Perimeter())
		general := ofRings(offset(o.rings(Flatness), float64(d), float64(Flatness)))
		// The line may lie Flatness off all along, twice where curves were flattened.
		near(t, "general area", general.Area(), want, 2*Flatness.MM()*grown.Perimeter()+1e-6)
		if got, want := grown.Bounds(), o.Bounds().Outset(d); !near2(got, want, 1) {
			t.Fatalf("bounds are %v, want %v", got, want)
		}
	})
}

func near(t interface{ Errorf(string, ...any) }, what string, got, want, within float64) {
	if math.IsNaN(got) || math.Abs(got-want) > within {
		t.Errorf("%s is %.9g, want %.9g within %g", what, got, want, within)
	}
}

func near2(a, b geometry.Box, within geometry.Length) bool {
	return a.Outset(within).Contains(b) && b.Outset(within).Contains(a)
}

// depth gives the signed distance of v to the line of o, measured without any
// of the code for offsets: positive inside.
func depth(o Outline, v vec) float64 {
	least := math.Inf(1)
	for _, c := range o.contours {
		for _, p := range c.prims() {
			for i := range 400 {
				a, b := p.point(float64(i)/400), p.point(float64(i+1)/400)
				least = min(least, pointToLine(v, a, b))
			}
		}
	}
	if o.Contains(nearest(v)) {
		return least
	}
	return -least
}

// TestOffsetOfAnyShape looks at random places: each lies in the offset outline
// exactly if it is near (or deep) enough.
func TestOffsetOfAnyShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := curved(t, "shape")
		d := geometry.Length(rapid.IntRange(-9_000_000, 9_000_000).Draw(t, "d"))
		off, err := o.Outset(d)
		if err != nil {
			t.Fatal(err)
		}
		for range 20 {
			x := rapid.IntRange(-50_000_000, 50_000_000).Draw(t, "x")
			y := rapid.IntRange(-50_000_000, 50_000_000).Draw(t, "y")
			p := pos(geometry.Length(x), geometry.Length(y))
			margin := depth(o, at(p)) + float64(d)
			if math.Abs(margin) < 5*float64(Flatness) {
				continue
			}
			if got := off.Contains(p); got != (margin > 0) {
				t.Fatalf("offset by %v: %v is %v, but lies %g nm inside", d, p, got, margin)
			}
		}
	})
}

// TestOffsetsAreSound: growing what was shrunk stays within the shape, and
// both are what New accepts.
func TestOffsetsAreSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := curved(t, "shape")
		d := geometry.Length(rapid.IntRange(1_000, 9_000_000).Draw(t, "d"))
		in, err := o.Inset(d)
		if err != nil {
			t.Fatal(err)
		}
		if in.Area() > o.Area() {
			t.Fatalf("an inset of %v has the area %g, more than %g", d, in.Area(), o.Area())
		}
		for _, x := range []Outline{in, must2(t)(o.Outset(d))} {
			if x.Empty() {
				continue
			}
			if _, err := New(x.contours...); err != nil {
				t.Fatal(err)
			}
			for _, part := range x.Parts() {
				if part.Area() <= 0 {
					t.Fatalf("a part has the area %g", part.Area())
				}
			}
		}
		if in.Empty() {
			return
		}
		back := must2(t)(in.Outset(d))
		if back.Area() > o.Area()+3*Flatness.MM()*o.Perimeter() {
			t.Fatalf("opening by %v grew the area from %g to %g", d, o.Area(), back.Area())
		}
	})
}

func must2(t *rapid.T) func(Outline, error) Outline {
	return func(o Outline, err error) Outline {
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
}

func TestInvariants(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o, other := curved(t, "a"), star(t, "b").Moved(size(95*mm, 13*mm))
		turn := geometry.Turn(rapid.IntRange(0, 3).Draw(t, "turn"))
		by := size(geometry.Length(rapid.IntRange(-9e7, 9e7).Draw(t, "across")), geometry.Length(rapid.IntRange(-9e7, 9e7).Draw(t, "around")))
		m := o.Turned(turn).Moved(by)
		near(t, "area", m.Area(), o.Area(), 1e-6)
		near(t, "perimeter", m.Perimeter(), o.Perimeter(), 1e-6)
		if got, want := m.Bounds().Size(), o.Bounds().Size().Turned(turn); got != want {
			t.Fatalf("the size is %v, want %v", got, want)
		}
		if got := boundsOf(m.contours); !near2(got, m.Bounds(), 1) {
			t.Fatalf("bounds are %v, but count as %v", m.Bounds(), got)
		}
		for _, on := range []Side{Convex, Concave} {
			a, some := o.LeastRadius(on)
			b, also := m.LeastRadius(on)
			if some != also || max(a-b, b-a) > 1+a/1e6 {
				t.Fatalf("least radius %v became %v", a, b)
			}
		}
		if a, b := Clearance(o, other), Clearance(m, other.Turned(turn).Moved(by)); max(a-b, b-a) > 1 {
			t.Fatalf("clearance %v became %v", a, b)
		}
		if a, b := Clearance(o, other), Clearance(other, o); max(a-b, b-a) > 1 {
			t.Fatalf("clearance is %v one way and %v the other", a, b)
		}
		same := o.Turned(turn).Turned((4 - turn) % 4)
		if same.Bounds() != o.Bounds() || same.contours[0].Start != o.contours[0].Start {
			t.Fatalf("turned there and back it lies in %v and begins at %v, want %v and %v", same.Bounds(), same.contours[0].Start, o.Bounds(), o.contours[0].Start)
		}
	})
}

// TestClearanceAgainstChords holds the distance against that of finely
// flattened lines, measured corner by corner.
func TestClearanceAgainstChords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := curved(t, "a")
		b := curved(t, "b").Moved(size(
			geometry.Length(rapid.IntRange(-90_000_000, 90_000_000).Draw(t, "across")),
			geometry.Length(rapid.IntRange(20_000_000, 90_000_000).Draw(t, "around"))))
		got := float64(Clearance(a, b))
		const tolerance = 20 * geometry.Micrometre
		ra, rb := a.rings(tolerance), b.rings(tolerance)
		want := math.Inf(1)
		for _, s := range sidesOf(ra) {
			for _, u := range sidesOf(rb) {
				want = min(want, lineToLine(s.a.vec(), s.b.vec(), u.a.vec(), u.b.vec()))
			}
		}
		if winding(ra[0][0].vec(), rb...) != 0 || winding(rb[0][0].vec(), ra...) != 0 {
			want = 0
		}
		near(t, "clearance", got, max(want, 0), 2*float64(tolerance)+3)
	})
}

// TestOutsetOfTeeth: what grows over a thousand narrow slits is the same as if
// they had been followed to their bottoms, to three tolerances.
func TestOutsetOfTeeth(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, slots := range []bool{false, true} {
		var corners []geometry.Position
		const n = 500
		for i := range n {
			far := func(k float64) float64 { return 25e6 + k*1e6*(1+r.Float64()) }
			reach, root := far(1), far(-2)
			place := func(reach, turn float64) {
				sin, cos := math.Sincos(2 * math.Pi * (float64(i) + turn) / n)
				corners = append(corners, nearest(vec{reach * cos, reach * sin}))
			}
			place(reach, 0)
			if slots {
				place(reach, 0.5)
				place(root, 0.5)
			}
			place(root, 0.9)
		}
		o, err := New(Polygon(corners[0], corners[1:]...))
		if err != nil {
			t.Fatal(err)
		}
		lines := o.contours[0].prims()
		for _, d := range []float64{0.5e6, 3e6} {
			for _, tolerance := range []float64{float64(Flatness), 20_000} {
				if (d > 1e6) != (tolerance > 1000) && !trials.Long() {
					continue // each of both with one of the others
				}
				grown, err := o.OutsetWithin(geometry.Length(d), geometry.Length(tolerance))
				if err != nil {
					t.Fatal(err)
				}
				inside, outside := 0, 0
				for range 800 {
					sin, cos := math.Sincos(2 * math.Pi * r.Float64())
					reach := 25e6 + 7e6*r.Float64()
					v := vec{reach * cos, reach * sin}
					least := math.Inf(1)
					for _, p := range lines {
						least = min(least, pointToLine(v, p.a, p.b))
					}
					in := o.Contains(nearest(v)) || least < d
					if !o.Contains(nearest(v)) && math.Abs(least-d) < 3*tolerance {
						continue
					}
					if in {
						inside++
					} else {
						outside++
					}
					if got := grown.Contains(nearest(v)); got != in {
						t.Fatalf("slots %v, grown by %g to %g: %v is inside: %v; it is %g off", slots, d, tolerance, v, got, least)
					}
				}
				if inside < 100 || outside < 100 {
					t.Errorf("%d places inside and %d outside", inside, outside)
				}
			}
		}
	}
}

// Contains reports whether the position lies inside the outline and not in a
// hole. Within a nanometre of the line itself either answer may come.
func (o Outline) Contains(p geometry.Position) bool {
	if b := o.bounds; p.Across < b.Min.Across || p.Across > b.Max.Across || p.Around < b.Min.Around || p.Around > b.Max.Around {
		return false
	}
	v := at(p)
	odd := false
	for _, c := range o.contours {
		for _, s := range c.prims() {
			if s.crossings(v)%2 == 1 {
				odd = !odd
			}
		}
	}
	return odd
}

// Inset returns the outline shrunk by the distance on all sides, as a choke of
// white needs. See Outset.
func (o Outline) Inset(d geometry.Length) (Outline, error) { return o.Outset(-d) }
