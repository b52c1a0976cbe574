package impose

import (
	"slices"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/witness"
)

// TestOneContourForALabel: where an artwork draws the cut itself, in an ink that
// reaches the file, the frame draws none over it; blank stations and artworks
// without a die line get theirs, in the same ink.
func TestOneContourForALabel(t *testing.T) {
	const own = "../samples/artwork/orchard-juice.pdf" // 50 x 75 mm, corners of 3 mm, in the ink Cutting
	radius, sharp := 3*geometry.Millimetre, geometry.Length(0)
	contours := func(im *Imposition) (n int, ink string) {
		for _, i := range im.Frame.Items {
			if s, ok := i.(draw.Stroke); ok && s.Layer == draw.Cutting {
				ink = s.Paint.Tints[0].Ink
				for _, v := range s.Path.Verbs {
					if v == draw.MoveTo {
						n++
					}
				}
			}
		}
		return n, ink
	}
	for _, c := range []struct {
		name  string
		edit  func(*job.Job)
		drawn func(stations int) int
	}{
		{"its own cut", func(j *job.Job) { j.Radius = &radius }, func(int) int { return 0 }},
		{"the artwork's die line as the shape", func(j *job.Job) { j.Shape, j.Outline = geometry.ShapeOutline, job.ArtworkOutline }, func(int) int { return 0 }},
		{"another cut than it draws", func(j *job.Job) { j.Radius, j.IgnoreDieLine = &sharp, true }, func(n int) int { return n }},
		{"its own cut, silenced", func(j *job.Job) { j.Radius, j.Inks.Silence = &radius, []string{"Cutting"} }, func(n int) int { return n }},
		{"beside one without", func(j *job.Job) {
			j.Radius = &radius
			j.Artworks = append(j.Artworks, job.Artwork{File: witness.PlainLabel(t, 50, 75, "0 1 0 0"), Page: 1, Quantity: 10, LaneCount: 2})
			j.Artworks[0].LaneCount = 3
		}, func(n int) int { return n * 2 / 5 }}, // two lanes of five
	} {
		j := jobFor(own)
		j.WebWidth, j.Cutting = 340*geometry.Millimetre, true
		j.Gap = geometry.Size{Across: 3 * geometry.Millimetre, Around: 3 * geometry.Millimetre}
		j.TargetLane, j.Bleed, j.Repeat.Longest = &sharp, 1500*geometry.Micrometre, 400*geometry.Millimetre
		c.edit(j)
		im, _ := imposed(t, j)
		got, ink := contours(im)
		if want := c.drawn(len(im.Layout.Station)); got != want || want > 0 && ink == "" {
			t.Errorf("%s: %d contours for %d stations in %q, want %d", c.name, got, len(im.Layout.Station), ink, want)
		}
		if c.name == "beside one without" && ink != "Cutting" {
			t.Errorf("%s: drawn in %q", c.name, ink)
		}
		s, err := im.Summary(Written{})
		if err != nil {
			t.Fatal(err)
		}
		if said := slices.ContainsFunc(s.Notes, func(w say.Note) bool { return w.Code == "own-cut" }); said != (got < len(im.Layout.Station)) {
			t.Errorf("%s: said %v, notes %v", c.name, said, s.Notes)
		}
	}
}
