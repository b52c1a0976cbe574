package impose

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/contour"
	"quoin/impose/job"
	"quoin/impose/witness"
)

// TestDieWithAnOutlineIsEnough: naming a die that has a drawing needs no shape
// and no outline, and the cut is the die's.
func TestDieWithAnOutlineIsEnough(t *testing.T) {
	dies, err := job.ReadDies("../samples/dies.yaml")
	if err != nil {
		t.Fatal(err)
	}
	j := job.New()
	j.WebWidth, j.Repeat.Longest = 340*geometry.Millimetre, 980*geometry.Millimetre
	none := geometry.Length(0)
	j.TargetLane = &none
	j.Dies, j.Die = dies, "0110"
	j.Artworks = []job.Artwork{{File: witness.PlainLabel(t, 60, 80, "0 1 0 0"), Page: 1, Quantity: 100}}
	im, err := Open(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	var b bytes.Buffer
	if err := im.WriteCuttingSVG(&b); err != nil {
		t.Fatal(err)
	}
	d, err := contour.ReadSVG(&b, contour.Options{})
	if err != nil {
		t.Fatal(err)
	}
	parts := d.Outline.Parts()
	// The leaf of two arcs over a chord of 80 mm, bulge 0.75: radius 80 x 1.5625 / 3,
	// angle 4 atan 0.75; both segments beyond the chord.
	const r, angle = 80 * 1.5625 / 3, 4 * 0.6435011087932844
	want := r * r * (angle - 0.5376) // sin(4 atan 0.75) = 0.5376
	if len(parts) != 44 || parts[0].Area() < want*0.999999 || parts[0].Area() > want*1.000001 {
		t.Errorf("%d labels of %g mm2, want 44 of %g", len(parts), parts[0].Area(), want)
	}
	s, err := im.Summary(Written{})
	if err != nil {
		t.Fatal(err)
	}
	if web := 100 * 44 * want / (340 * s.Layout.RepeatMM); s.Layout.LabelPercent < web*0.9999 || s.Layout.LabelPercent > web*1.0001 {
		t.Errorf("labels take %g %% of the web, want %g", s.Layout.LabelPercent, web)
	}
	said := false
	for _, n := range s.Notes {
		said = said || n.Code == "shape-of-die" && strings.Contains(n.Text, "die 0110")
	}
	if !said {
		t.Errorf("whose shape it is, is not said: %v", s.Notes)
	}
}
