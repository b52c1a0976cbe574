package contour

import (
	"bytes"
	"testing"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/geometry/outline/nest"
)

// TestFrame lays hearts, writes the frame's cutting data, and reads it back:
// every station is there, where the layout says, and the clips hold the bleed.
func TestFrame(t *testing.T) {
	heart := shapes(t)["heart"]
	r, err := nest.Plan(nest.Request{
		Web: geometry.Web{Width: 200 * mm, Edge: 5 * mm}, Shape: heart, Gap: geometry.Size{Across: 3 * mm, Around: 3 * mm}, Bleed: 1200 * geometry.Micrometre,
		Repeat: geometry.Repeat{Max: 200 * mm}, Turns: []geometry.Turn{geometry.Turn0, geometry.Turn180},
	})
	if err != nil {
		t.Fatal(err)
	}
	l := r.Best().Layout
	sheet := FrameSheet(func(geometry.Station) outline.Outline { return heart }, l)
	var b bytes.Buffer
	if err := WriteSVG(&b, sheet); err != nil {
		t.Fatal(err)
	}
	d, err := ReadSVG(&b, Options{})
	if err != nil {
		t.Fatal(err)
	}
	parts := d.Outline.Parts()
	if len(parts) != l.Labels() || len(parts) < 6 {
		t.Fatalf("%d parts, want %d", len(parts), l.Labels())
	}
	near(t, "area of all", d.Outline.Area(), float64(l.Labels())*heart.Area(), 1e-2)
	clips, err := Clips(heart, l)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range l.Station {
		placed := Placed(heart, s)
		if got := placed.Bounds(); !got.Outset(1).Contains(s.Trim) || !s.Trim.Outset(1).Contains(got) {
			t.Errorf("station %d stands at %v, want %v", i, got, s.Trim)
		}
		if s.Room() != 1200*geometry.Micrometre {
			t.Errorf("station %d has room for a bleed of %v", i, s.Room())
		}
		if got := clips[i].Bounds(); !got.Outset(outline.Flatness).Contains(s.Clip) || !s.Clip.Outset(outline.Flatness).Contains(got) {
			t.Errorf("station %d is clipped at %v, want %v", i, got, s.Clip)
		}
	}
}

// TestHolesAreCut: the contours of a hang hole and a window are cut on every
// label, and stay clear of the next one.
func TestHolesAreCut(t *testing.T) {
	ok := need(t)
	edge := ok(outline.New(outline.Polygon(at(15, 0), at(45, 0), at(60, 30), at(60, 80), at(0, 80), at(0, 30))))
	hang := ok(outline.Circle(8 * mm)).Moved(geometry.Size{Across: 26 * mm, Around: 5 * mm})
	window := ok(outline.Rectangle(geometry.Size{Across: 40 * mm, Around: 25 * mm}, 2*mm)).Moved(geometry.Size{Across: 10 * mm, Around: 45 * mm})
	tag := ok(outline.New(edge.Contours()[0], hang.Contours()[0], window.Contours()[0]))
	r, err := nest.Plan(nest.Request{Web: geometry.Web{Width: 330 * mm}, Shape: tag, Gap: geometry.Size{Across: 2 * mm, Around: 2 * mm},
		Repeat: geometry.Repeat{Max: 500 * mm}, Turns: []geometry.Turn{geometry.Turn0, geometry.Turn180}})
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range r.Arrangements {
		l := a.Layout
		sheet := FrameSheet(func(geometry.Station) outline.Outline { return tag }, l)
		for _, write := range []func(*bytes.Buffer) (outline.Outline, error){
			func(b *bytes.Buffer) (outline.Outline, error) {
				if err := WriteSVG(b, sheet); err != nil {
					return outline.Outline{}, err
				}
				d, err := ReadSVG(b, Options{})
				return d.Outline, err
			},
			func(b *bytes.Buffer) (outline.Outline, error) {
				if err := WriteDXF(b, sheet); err != nil {
					return outline.Outline{}, err
				}
				d, err := ReadDXF(b, Options{})
				return d.Outline, err
			},
		} {
			o, err := write(new(bytes.Buffer))
			if err != nil {
				t.Fatal(err)
			}
			parts := o.Parts()
			if len(parts) != l.Labels() || len(o.Contours()) != 3*l.Labels() {
				t.Fatalf("%s: %d labels of %d contours, want %d of 3 each", a.Pattern, len(parts), len(o.Contours()), l.Labels())
			}
			for i, p := range parts {
				for _, q := range parts[:i] {
					if d := clearance(p, q); d < 2*mm-1 {
						t.Fatalf("%s: labels, or one in the other's window, are %v apart", a.Pattern, d)
					}
				}
			}
		}
	}
}
