package verify_test

import (
	"context"
	"encoding/json"
	"os"
	"slices"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/verify"
)

// TestOverlapIsFound changes what a summary says of a nested frame whose file
// is sound: labels that would lie on each other, on the frame and across its
// seam, stand too near, or are of another shape.
func TestOverlapIsFound(t *testing.T) {
	j := job.New()
	j.WebWidth, j.Repeat.Longest = 150*mm, 150*mm
	j.Artworks = []job.Artwork{{File: round(t), Page: 1, Quantity: 100}}
	j.Shape, j.Nest = geometry.ShapeCircle, true
	zero := geometry.Length(0)
	j.TargetLane = &zero
	j.Gap = geometry.Size{Across: 2 * mm, Around: 2 * mm}
	pdf, summary := written(t, j)
	if r := verified(t, pdf, summary); !r.Same {
		t.Fatalf("the sound file: %v", r.Differences)
	}
	type object = map[string]any
	for _, c := range []struct {
		name, code string
		edit       func(s object)
	}{
		{"a repeat 3 mm shorter", verify.LabelsOverlap, func(s object) {
			l := s["layout"].(object)
			l["repeat_mm"] = l["repeat_mm"].(float64) - 3
		}},
		{"a repeat a tenth of a millimetre shorter", verify.LabelsNear, func(s object) {
			l := s["layout"].(object)
			l["repeat_mm"] = l["repeat_mm"].(float64) - 0.1
		}},
		{"a label on its neighbour", verify.LabelsOverlap, func(s object) {
			box := s["stations"].([]any)[0].(object)["trim_pt"].([]any)
			box[0], box[2] = box[0].(float64)+10, box[2].(float64)+10
		}},
		{"a gap that isn't there", verify.LabelsNear, func(s object) {
			s["layout"].(object)["gap_across_mm"], s["layout"].(object)["gap_around_mm"] = 2.1, 2.1
		}},
		{"squares for circles", verify.LabelsOverlap, func(s object) {
			s["cut"] = object{"rings_mm": [][][2]float64{{{0, 0}, {30, 0}, {30, 30}, {0, 30}}}}
		}},
		{"circles of another size", verify.LabelShape, func(s object) {
			s["cut"] = object{"rings_mm": [][][2]float64{{{0, 0}, {31, 0}, {31, 31}, {0, 31}}}}
		}},
		{"a negative matrix", verify.LabelsOverlap, func(s object) { s["layout"].(object)["matrix_percent"] = -3.9 }},
	} {
		data, err := os.ReadFile(summary)
		if err != nil {
			t.Fatal(err)
		}
		var s object
		if err := json.Unmarshal(data, &s); err != nil {
			t.Fatal(err)
		}
		c.edit(s)
		if data, err = json.Marshal(s); err != nil {
			t.Fatal(err)
		}
		changed := t.TempDir() + "/changed.json"
		if err := os.WriteFile(changed, data, 0o666); err != nil {
			t.Fatal(err)
		}
		plan, err := verify.ReadExpected(changed)
		if err != nil {
			t.Fatal(err)
		}
		r, err := verify.File(context.Background(), pdf, plan, verify.Options{Summary: changed, Alone: true})
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Contains(codes(r), c.code) {
			t.Errorf("%s: %v, want %s", c.name, r.Differences, c.code)
		}
		for _, d := range r.Differences {
			t.Logf("%s: %s: %s", c.name, d.Code, d.Text)
		}
	}
}
