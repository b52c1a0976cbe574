package impose

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/contour"
	"quoin/impose/fit"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/summary"
	"quoin/impose/witness"
)

// curves draws a box of w x h mm at x, y with corners of radius r, the corners as
// curves that stray from a circle by 0.027 % of the radius (elementary geometry).
func curves(x, y, w, h, rx, ry float64) string {
	const k = 1 - 0.5522847498
	return fmt.Sprintf("%f %f m %f %f l %f %f %f %f %f %f c %f %f l %f %f %f %f %f %f c %f %f l %f %f %f %f %f %f c %f %f l %f %f %f %f %f %f c h ",
		x+rx, y, x+w-rx, y, x+w-rx*k, y, x+w, y+ry*k, x+w, y+ry,
		x+w, y+h-ry, x+w, y+h-ry*k, x+w-rx*k, y+h, x+w-rx, y+h,
		x+rx, y+h, x+rx*k, y+h, x, y+h-ry*k, x, y+h-ry,
		x, y+ry, x, y+ry*k, x+rx*k, y, x+rx, y)
}

// drawing is a label whose artwork draws a line in a spot.
type drawing struct {
	w, h   float64 // trim, mm
	ink    string  // empty: Cutting
	line   string  // operators of a path in mm, from the trim's lower left corner
	noTrim bool    // the page has no TrimBox
}

// file writes the label with 2 mm of bleed.
func (d drawing) file(t *testing.T) string {
	const pt, bleed = 72 / 25.4, 2.0
	trim := fmt.Sprintf("/TrimBox [%f %f %f %f]", bleed*pt, bleed*pt, (bleed+d.w)*pt, (bleed+d.h)*pt)
	if d.noTrim {
		trim = ""
	}
	return witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		fmt.Sprintf("<< /Type /Page /Parent 2 0 R /Contents 4 0 R /MediaBox [0 0 %f %f] %s "+
			"/Resources << /ColorSpace << /Cut [/Separation /%s /DeviceCMYK 5 0 R] >> >> >>", (d.w+2*bleed)*pt, (d.h+2*bleed)*pt, trim, cmp.Or(d.ink, "Cutting")),
		witness.Stream("", fmt.Sprintf("0 1 0 0 k 0 0 999 999 re f /Cut CS 1 SCN .1 w %f 0 0 %f %f %f cm %s S", pt, pt, bleed*pt, bleed*pt, d.line)),
		"<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 1 0 0] /N 1 >>")
}

var (
	square = geometry.Size{Across: 70 * geometry.Millimetre, Around: 70 * geometry.Millimetre}
	wide   = geometry.Size{Across: 50 * geometry.Millimetre, Around: 70 * geometry.Millimetre}
)

// onePlain is a job that says no shape.
func onePlain(files ...string) *job.Job {
	j, lane := job.New(), geometry.Length(0)
	j.WebWidth, j.Repeat.Longest, j.TargetLane = 340*geometry.Millimetre, 600*geometry.Millimetre, &lane
	for _, f := range files {
		j.Artworks = append(j.Artworks, job.Artwork{File: f, Page: 1, Quantity: 1000})
	}
	return j
}

// TestWhatADieLineDecides: a line along the trim is the shape, wherever nothing
// else is said; other lines are not.
func TestWhatADieLineDecides(t *testing.T) {
	const none = -1
	radius := func(mm float64) *geometry.Length { l := geometry.Length(mm * float64(geometry.Millimetre)); return &l }
	round := curves(0, 0, 70, 70, 35, 35)
	for _, c := range []struct {
		name    string
		art     drawing
		say     func(*job.Job)
		area    float64 // of the cut, mm2
		refused float64 // the deviation that stops the run, mm
	}{
		{"round", drawing{w: 70, h: 70, line: round}, nil, math.Pi * 35 * 35, none},
		{"oval", drawing{w: 70, h: 50, line: curves(0, 0, 70, 50, 35, 25)}, nil, math.Pi * 35 * 25, none},
		{"round corners", drawing{w: 70, h: 50, line: curves(0, 0, 70, 50, 4, 4)}, nil, 3500 - (4-math.Pi)*16, none},
		{"sharp corners", drawing{w: 70, h: 50, line: "0 0 70 50 re"}, nil, 3500, none},
		{"a shield", drawing{w: 40, h: 60, line: "0 60 m 40 60 l 40 20 l 20 0 l 0 20 l h"}, nil, 2000, none},
		{"a window", drawing{w: 40, h: 60, line: "0 0 40 60 re 10 10 20 10 re"}, nil, 2200, none},
		{"no TrimBox, but the label said", drawing{w: 70, h: 70, noTrim: true, line: round}, func(j *job.Job) { j.Label = square }, math.Pi * 35 * 35, none},
		{"0.03 mm too large", drawing{w: 70, h: 70, line: curves(-.03, -.03, 70.06, 70.06, 35.03, 35.03)}, nil, math.Pi * 35 * 35, none},
		{"a rectangle is said, its corners are not", drawing{w: 70, h: 50, line: curves(0, 0, 70, 50, 4, 4)}, func(j *job.Job) { j.Shape = geometry.ShapeRectangle }, 3500 - (4-math.Pi)*16, none},
		{"the circle that is said", drawing{w: 70, h: 70, line: round}, func(j *job.Job) { j.Shape = geometry.ShapeCircle }, math.Pi * 35 * 35, none},

		{"a hang hole", drawing{w: 70, h: 50, line: curves(30, 40, 6, 6, 3, 3)}, nil, 3500, none},
		{"a small window of a small label", drawing{w: 8, h: 8, line: "2.5 2.5 3 3 re"}, nil, 64, none},
		{"the forme beyond the bleed", drawing{w: 70, h: 50, line: "-4 -4 78 58 re"}, nil, 3500, none},
		{"an open line", drawing{w: 70, h: 50, line: "0 0 m 70 50 l"}, nil, 3500, none},
		{"a guide that the job calls technical", drawing{w: 70, h: 50, ink: "Heron", line: curves(0, 0, 70, 50, 4, 4)},
			func(j *job.Job) { j.Inks.Technical = []string{"Heron"} }, 3500, none},
		{"a fold", drawing{w: 70, h: 50, ink: "Creasing", line: curves(0, 0, 70, 50, 4, 4)}, nil, 3500, none},
		{"told otherwise", drawing{w: 70, h: 70, line: round}, func(j *job.Job) { j.IgnoreDieLine = true }, 4900, none},

		{"0.2 mm too large", drawing{w: 70, h: 70, line: curves(-.2, -.2, 70.4, 70.4, 35.2, 35.2)}, func(j *job.Job) { j.Shape = geometry.ShapeCircle }, 0, .21},
		{"0.2 mm beside the trim", drawing{w: 70, h: 50, line: "0.2 0 70 50 re"}, nil, 0, .2},
		{"a square is said", drawing{w: 70, h: 70, line: round}, func(j *job.Job) { j.Shape = geometry.ShapeRectangle }, 0, 35*math.Sqrt2 - 35},
		{"another radius", drawing{w: 70, h: 50, line: curves(0, 0, 70, 50, 4, 4)}, func(j *job.Job) { j.Radius = radius(3) }, 0, math.Sqrt2 - 1},
		{"66 mm of 70", drawing{w: 70, h: 70, line: curves(2, 2, 66, 66, 33, 33)}, func(j *job.Job) { j.Shape = geometry.ShapeCircle }, 0, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := onePlain(c.art.file(t))
			if c.say != nil {
				c.say(j)
			}
			im, err := Open(t.Context(), j)
			_, surveyed := SurveyArtworks(t.Context(), j)
			if c.refused != none {
				for _, err := range []error{err, surveyed} {
					var r *say.Refusal
					if !errors.As(err, &r) || r.Kind != say.BadFile || r.Way == "" || !strings.Contains(r.Text, fmt.Sprintf("they differ by %.2f mm", c.refused)) {
						t.Errorf("not refused for %g mm: %v", c.refused, err)
					}
				}
				return
			}
			if err != nil || surveyed != nil {
				t.Fatal(err, surveyed)
			}
			defer im.Close()
			if got := im.CutOn(im.Layout.Station[0]).Area(); math.Abs(got-c.area) > c.area/1000 {
				t.Errorf("%g mm2 are cut, want %g", got, c.area)
			}
			counted := c.area
			if r := im.Job.Radius; r != nil && *r > 0 { // by the trim, as on a die
				counted = c.art.w * c.art.h
			}
			if got := im.Layout.Area; math.Abs(got-counted) > counted/1000 {
				t.Errorf("the yield counts %g mm2, want %g", got, counted)
			}
		})
	}
}

// TestDieLinesOfLanes: artworks that share a frame share one cut, whatever their
// lanes.
func TestDieLinesOfLanes(t *testing.T) {
	circle := drawing{w: 70, h: 70, line: curves(0, 0, 70, 70, 35, 35)}.file(t)
	soft := drawing{w: 70, h: 70, line: curves(0, 0, 70, 70, 5, 5)}.file(t)
	plain := drawing{w: 70, h: 70, ink: "Heron", line: "0 0 70 70 re"}.file(t)
	small := drawing{w: 50, h: 70, line: curves(0, 0, 50, 70, 5, 5)}.file(t)
	tight := drawing{w: 50, h: 70, line: curves(0, 0, 50, 70, 2, 2)}.file(t)
	for _, c := range []struct {
		name    string
		files   []string
		areas   []float64 // of the first and of the last lane's cut; none: refused
		varying bool
	}{
		{"alike", []string{circle, circle}, []float64{math.Pi * 35 * 35, math.Pi * 35 * 35}, false},
		{"one draws none", []string{plain, circle}, []float64{math.Pi * 35 * 35, math.Pi * 35 * 35}, false},
		{"a circle and corners", []string{circle, soft}, nil, false},
		{"of two widths, with the same corners", []string{soft, small}, []float64{4900 - (4-math.Pi)*25, 3500 - (4-math.Pi)*25}, true},
		{"of two widths, with other corners", []string{soft, tight}, nil, true},
		{"of two widths, one of them round", []string{circle, tight}, nil, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := onePlain(c.files...)
			for i := range j.Artworks {
				j.Artworks[i].LaneCount = 2
			}
			if c.varying {
				j.Artworks[0].Label, j.Artworks[1].Label = square, wide
			}
			im, err := Open(t.Context(), j)
			if c.areas == nil {
				var r *say.Refusal
				if !errors.As(err, &r) || !strings.Contains(r.Text, "differ by") {
					t.Fatalf("not refused: %v", err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			defer im.Close()
			lanes := im.Layout.Station[:im.Layout.Across]
			for i, s := range []geometry.Station{lanes[0], lanes[len(lanes)-1]} {
				if got := im.CutOn(s).Area(); math.Abs(got-c.areas[i]) > c.areas[i]/1000 {
					t.Errorf("lane %d: %g mm2 are cut, want %g", s.Lane, got, c.areas[i])
				}
			}
		})
	}
}

// TestTheDieLineDecides: a round label whose artwork draws a circle is cut as one
// by every part that speaks of the cut, and stops where a square is said.
func TestTheDieLineDecides(t *testing.T) {
	file := drawing{w: 70, h: 70, line: curves(0, 0, 70, 70, 35, 35)}.file(t)
	plain := func() *job.Job { return onePlain(file) }
	im, err := Open(context.Background(), plain())
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	circle := math.Pi * 35 * 35
	like := func(name string, area float64) {
		t.Helper()
		if math.Abs(area-circle) > 3 {
			t.Errorf("%s: %g mm2 are cut, want %g", name, area, circle)
		}
	}
	for name, write := range map[string]func(*bytes.Buffer) (*contour.Drawing, error){
		"SVG": func(b *bytes.Buffer) (*contour.Drawing, error) {
			return written(b, im.WriteCuttingSVG(b), contour.ReadSVG)
		},
		"DXF": func(b *bytes.Buffer) (*contour.Drawing, error) {
			return written(b, im.WriteCuttingDXF(b), contour.ReadDXF)
		},
	} {
		d, err := write(&bytes.Buffer{})
		if err != nil {
			t.Fatal(err)
		}
		like(name, d.Outline.Parts()[0].Area())
	}
	s, err := im.Summary(Written{})
	if err != nil {
		t.Fatal(err)
	}
	said := func(list []summary.Note, code string) bool {
		return slices.ContainsFunc(list, func(n summary.Note) bool { return n.Code == code })
	}
	if !said(s.Notes, "shape-of-artwork") {
		t.Errorf("whose shape it is, is not said: %v", s.Notes)
	}
	like("yield", s.Layout.LabelPercent/100*340*s.Layout.RepeatMM/float64(s.Layout.Labels))

	// Fit takes dies that cut the circle, and no others.
	looked, err := SurveyArtworks(t.Context(), plain())
	if err != nil {
		t.Fatal(err)
	}
	die := geometry.Die{Number: "round", Size: looked.Label, Shape: geometry.ShapeCircle, Lanes: 4, Rows: 5, Condition: geometry.DieGood,
		Gap: geometry.Size{Across: 3 * geometry.Millimetre}, Repeat: 365 * geometry.Millimetre, Station: geometry.SemiRotary}
	other := die
	other.Number, other.Shape = "square", geometry.ShapeRectangle
	q, err := fit.Ask(looked.Job, looked.Label, 1)
	if err != nil {
		t.Fatal(err)
	}
	q.Dies, q.All = []geometry.Die{die, other}, true
	looked.Shape(&q.Wish)
	r, err := fit.Answer(q)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range r.Layouts {
		if l.Fits != (l.Die == "round") {
			t.Errorf("die %s fits: %v, %v", l.Die, l.Fits, l.Reasons)
		}
	}

	// A square that is said stops both, unless the die line is not to count.
	for _, look := range []func(*job.Job) error{
		func(j *job.Job) error {
			im, err := Open(context.Background(), j)
			if err == nil {
				im.Close()
			}
			return err
		},
		func(j *job.Job) error { _, err := SurveyArtworks(t.Context(), j); return err },
	} {
		j := plain()
		j.Shape = geometry.ShapeRectangle
		var off *say.Refusal
		if err := look(j); !errors.As(err, &off) || off.Way == "" {
			t.Errorf("a square is cut though a circle is drawn: %v", err)
		}
		j.IgnoreDieLine = true
		if err := look(j); err != nil {
			t.Errorf("told otherwise: %v", err)
		}
	}
	j := plain()
	j.IgnoreDieLine = true
	square2, err := Open(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer square2.Close()
	if s, err := square2.Summary(Written{}); err != nil || !said(s.Warnings, "die-line-ignored") || s.Cut != nil {
		t.Errorf("told otherwise: %v, %v", s.Warnings, err)
	}
}

// written reads back what was written.
func written(b *bytes.Buffer, err error, read func(io.Reader, contour.Options) (*contour.Drawing, error)) (*contour.Drawing, error) {
	if err != nil {
		return nil, err
	}
	return read(b, contour.Options{})
}
