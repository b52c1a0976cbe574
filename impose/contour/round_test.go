package contour

import (
	"bytes"
	"errors"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/witness"
)

// sheet is one label with a border of 5 mm around it.
func sheet(o outline.Outline) Sheet {
	moved := o.At(at(5, 5))
	b := moved.Bounds()
	size := geometry.Size{Across: b.Max.Across + 5*mm, Around: b.Max.Around + 5*mm}
	return Sheet{size, []Layer{{Cut, []outline.Outline{moved}}}}
}

func writtenDXF(t testing.TB, s Sheet) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WriteDXF(&b, s); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func writtenSVG(t testing.TB, s Sheet) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WriteSVG(&b, s); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestWrittenIsRead: what is written reads back as the same outline, curves in
// DXF as lines close to them.
func TestWrittenIsRead(t *testing.T) {
	for name, o := range shapes(t) {
		d, err := ReadDXF(bytes.NewReader(writtenDXF(t, sheet(o))), Options{})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		alike(t, name+".dxf", d.Outline, o, 2*outline.Flatness)
		if d, err = ReadSVG(bytes.NewReader(writtenSVG(t, sheet(o))), Options{}); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		alike(t, name+".svg", d.Outline, o, 2)
	}
}

// TestAnyPolygon writes and reads random outlines of lines and arcs; both files
// keep every corner to the nanometre.
func TestAnyPolygon(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 12).Draw(t, "corners")
		var c outline.Contour
		for i := range n {
			// A corner in each of n strips, alternately: never crossing for small bulges.
			y := geometry.Length(rapid.IntRange(0, 9_000_000).Draw(t, "y"))
			p := geometry.Position{Across: geometry.Length(i) * 10 * mm, Around: y}
			if i == 0 {
				c.Start = p
				continue
			}
			c.Arc(p, float64(rapid.IntRange(-20, 20).Draw(t, "bulge"))/100)
		}
		c.Line(geometry.Position{Across: geometry.Length(n) * 10 * mm, Around: 60 * mm})
		c.Line(geometry.Position{Across: -mm, Around: 60 * mm})
		c.Close()
		o, err := outline.New(c)
		if err != nil {
			t.Skip("the arcs cross")
		}
		s := Sheet{geometry.Size{Across: 200 * mm, Around: 100 * mm}, []Layer{{Cut, []outline.Outline{o.At(geometry.Position{})}}}}
		var dxf, svg bytes.Buffer
		if err := errors.Join(WriteDXF(&dxf, s), WriteSVG(&svg, s)); err != nil {
			t.Fatal(err)
		}
		a, err := ReadDXF(&dxf, Options{})
		if err != nil {
			t.Fatal(err)
		}
		b, err := ReadSVG(&svg, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range []*Drawing{a, b} {
			if apart, n := clearance(d.Outline, o.At(geometry.Position{})), len(d.Outline.Contours()); apart != 0 || n != 1 {
				t.Fatalf("%d contours come back, %v away, want one on the first", n, apart)
			}
			got, want := d.Outline.Area(), o.Area()
			if got-want > 1e-5*want || want-got > 1e-5*want {
				t.Fatalf("the area was %g and is %g", want, got)
			}
		}
	})
}

var update = flag.Bool("update", os.Getenv("UPDATE") != "", "rewrite the golden files")

// TestGolden holds the written bytes; UPDATE=1 go test rewrites them.
func TestGolden(t *testing.T) {
	ring := shapes(t)["ring"]
	for name, got := range map[string][]byte{"ring.dxf": writtenDXF(t, sheet(ring)), "ring.svg": writtenSVG(t, sheet(ring))} {
		path := filepath.Join("testdata", name)
		if *update {
			if err := os.WriteFile(path, got, 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s is written differently:\n%s", name, got)
		}
	}
}

// TestOutsideReaders lets inkscape and ezdxf measure what was written.
func TestOutsideReaders(t *testing.T) {
	if testing.Short() {
		t.Skip("inkscape takes seconds to start")
	}
	dir := t.TempDir()
	put := func(name string, data []byte) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	names := []string{"rectangle", "circle", "ellipse", "heart", "keyhole", "ring"}
	all := shapes(t)
	var svgs, dxfs []string
	for _, name := range names {
		s := sheet(all[name])
		svgs, dxfs = append(svgs, put(name+".svg", writtenSVG(t, s))), append(dxfs, put(name+".dxf", writtenDXF(t, s)))
	}
	boxes, drawings := witness.InkscapeExtents(t, Cut, svgs...), witness.DXF(t, dxfs...)
	for i, name := range names {
		o := all[name]
		s := sheet(o)
		b := s.Layers[0].Outlines[0].Bounds()
		box := func(stroke float64) witness.Extent {
			return witness.Extent{MinX: b.Min.Across.MM() - stroke, MinY: b.Min.Around.MM() - stroke, MaxX: b.Max.Across.MM() + stroke, MaxY: b.Max.Around.MM() + stroke}
		}
		t.Run(name+".svg", func(t *testing.T) {
			// Half the stroke of 0.1 mm lies outside; inkscape prints six digits.
			if !sameBox(boxes[i], box(0.05), 1e-3) {
				t.Errorf("inkscape reads %v, want %v", boxes[i], box(0.05))
			}
		})
		t.Run(name+".dxf", func(t *testing.T) {
			release, entities := drawings[i].Release, drawings[i].Entities
			if release != "AC1009" || len(entities) != len(o.Contours()) {
				t.Fatalf("release %s with %d entities, want AC1009 with %d", release, len(entities), len(o.Contours()))
			}
			all := entities[0].Extent
			for _, e := range entities {
				if e.Type != "POLYLINE" || e.Layer != Cut || !e.Closed {
					t.Errorf("ezdxf reads %+v, want a closed POLYLINE on %s", e, Cut)
				}
				all.MinX, all.MinY = min(all.MinX, e.Extent.MinX), min(all.MinY, e.Extent.MinY)
				all.MaxX, all.MaxY = max(all.MaxX, e.Extent.MaxX), max(all.MaxY, e.Extent.MaxY)
			}
			want := box(0)
			want.MinY, want.MaxY = s.Size.Around.MM()-want.MaxY, s.Size.Around.MM()-want.MinY // y upwards
			if !sameBox(all, want, 3e-4) {
				t.Errorf("ezdxf reads %v, want %v", all, want)
			}
		})
	}
}

func sameBox(a, b witness.Extent, within float64) bool {
	near := func(x, y float64) bool { return max(x-y, y-x) <= within }
	return near(a.MinX, b.MinX) && near(a.MinY, b.MinY) && near(a.MaxX, b.MaxX) && near(a.MaxY, b.MaxY)
}

// stands checks what every outline that was read must be: sound, at the origin,
// and the same after it is written and read again.
func stands(t *testing.T, d *Drawing) {
	b := d.Outline.Bounds()
	if b.Min != (geometry.Position{}) || d.Outline.Area() < 0 {
		t.Fatalf("bounds %v, area %g", b, d.Outline.Area())
	}
	if size := b.Size(); max(size.Across, size.Around) > outline.Reach/2 || min(size.Across, size.Around) < 100*geometry.Micrometre {
		return // too near the limits for rounding to keep it
	}
	again, err := ReadSVG(bytes.NewReader(writtenSVG(t, sheet(d.Outline))), Options{Join: 1})
	if err != nil {
		if rounded(err) {
			return
		}
		t.Fatalf("read back: %v", err)
	}
	if got, want := again.Outline.Area(), d.Outline.Area(); max(got-want, want-got) > 1e-6*want+1e-3*d.Outline.Perimeter() {
		t.Fatalf("the area was %g and is %g", want, got)
	}
}

// rounded tells faults that rounding to a nanometre may make in a drawing that
// hardly encloses anything.
func rounded(err error) bool {
	for _, why := range []string{"crosses itself", "encloses no area", "has no length", "the bulge"} {
		if strings.Contains(err.Error(), why) {
			return true
		}
	}
	return false
}

func FuzzDXF(f *testing.F) {
	for _, o := range shapes(f) {
		f.Add(string(writtenDXF(f, sheet(o))))
	}
	f.Add(entities("0 LINE 8 A 10 0 20 0 11 9 21 0 0 ARC 8 A 10 4.5 20 0 40 4.5 50 0 51 180"))
	f.Add(entities("0 ELLIPSE 8 A 10 1 20 5 11 0 21 3 40 0.5 41 0 42 6.28"))
	f.Add(entities("0 SPLINE 8 A 71 2 40 0 40 0 40 0 40 0.5 40 1 40 1 40 1 10 0 20 0 10 25 20 50 10 75 20 50 10 0 20 0"))
	f.Add(entities("0 LWPOLYLINE 8 A 70 1 10 0 20 0 42 1 10 40 20 0 42 1"))
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 20_000 {
			return
		}
		if d, err := ReadDXF(strings.NewReader(text), inMM); err == nil {
			stands(t, d)
		}
	})
}

func FuzzSVG(f *testing.F) {
	for _, o := range shapes(f) {
		f.Add(string(writtenSVG(f, sheet(o))))
	}
	f.Add(svgOf(`<g transform="translate(5,6) rotate(30) skewX(4)"><path d="M0 0q9 9 9 0t9 0a3 4 5 01-9 20z"/><rect x="30" width="9" height="8" rx="2"/></g>`))
	f.Add(svgOf(`<polygon points="0,0 5 0 5,5"/><ellipse cx="30" cy="30" rx="4" ry="2pt"/><line x1="80" x2="90"/>`))
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 20_000 {
			return
		}
		if d, err := ReadSVG(strings.NewReader(text), Options{}); err == nil {
			stands(t, d)
		}
	})
}

// clearance is how far two outlines are apart, 0 where they touch or overlap.
func clearance(a, b outline.Outline) geometry.Length {
	apart := outline.NewGauge(a).Separation(outline.NewGauge(b), geometry.Size{}, math.Inf(1))
	return geometry.Length(math.Round(max(apart, 0)))
}
