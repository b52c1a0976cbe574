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
		Web: geometry.Web{Width: 200 * mm, Edge: 5 * mm}, Shape: heart, Gap: 3 * mm, Bleed: 1200 * geometry.Micrometre,
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
