package impose

import (
	"bytes"
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
	"quoin/impose/witness"
)

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
	round := witness.Rounded(0, 0, 70, 70, 35, 35)
	for _, c := range []struct {
		name    string
		art     witness.Label
		say     func(*job.Job)
		area    float64 // of the cut, mm2
		refused float64 // the deviation that stops the run, mm
	}{
		{"round", witness.Label{W: 70, H: 70, Line: round}, nil, math.Pi * 35 * 35, none},
		{"oval", witness.Label{W: 70, H: 50, Line: witness.Rounded(0, 0, 70, 50, 35, 25)}, nil, math.Pi * 35 * 25, none},
		{"round corners", witness.Label{W: 70, H: 50, Line: witness.Rounded(0, 0, 70, 50, 4, 4)}, nil, 3500 - (4-math.Pi)*16, none},
		{"sharp corners", witness.Label{W: 70, H: 50, Line: "0 0 70 50 re"}, nil, 3500, none},
		{"a shield", witness.Label{W: 40, H: 60, Line: "0 60 m 40 60 l 40 20 l 20 0 l 0 20 l h"}, nil, 2000, none},
		{"a window", witness.Label{W: 40, H: 60, Line: "0 0 40 60 re 10 10 20 10 re"}, nil, 2200, none},
		{"no TrimBox, but the label said", witness.Label{W: 70, H: 70, NoTrim: true, Line: round}, func(j *job.Job) { j.Label = square }, math.Pi * 35 * 35, none},
		{"0.03 mm too large", witness.Label{W: 70, H: 70, Line: witness.Rounded(-.03, -.03, 70.06, 70.06, 35.03, 35.03)}, nil, math.Pi * 35 * 35, none},
		{"a rectangle is said, its corners are not", witness.Label{W: 70, H: 50, Line: witness.Rounded(0, 0, 70, 50, 4, 4)}, func(j *job.Job) { j.Shape = geometry.ShapeRectangle }, 3500 - (4-math.Pi)*16, none},
		{"the circle that is said", witness.Label{W: 70, H: 70, Line: round}, func(j *job.Job) { j.Shape = geometry.ShapeCircle }, math.Pi * 35 * 35, none},

		{"a hang hole", witness.Label{W: 70, H: 50, Line: witness.Rounded(30, 40, 6, 6, 3, 3)}, nil, 3500, none},
		{"a small window of a small label", witness.Label{W: 8, H: 8, Line: "2.5 2.5 3 3 re"}, nil, 64, none},
		{"the forme beyond the bleed", witness.Label{W: 70, H: 50, Line: "-4 -4 78 58 re"}, nil, 3500, none},
		{"an open line", witness.Label{W: 70, H: 50, Line: "0 0 m 70 50 l"}, nil, 3500, none},
		{"a guide that the job calls technical", witness.Label{W: 70, H: 50, Ink: "Heron", Line: witness.Rounded(0, 0, 70, 50, 4, 4)},
			func(j *job.Job) { j.Inks.Technical = []string{"Heron"} }, 3500, none},
		{"a fold", witness.Label{W: 70, H: 50, Ink: "Creasing", Line: witness.Rounded(0, 0, 70, 50, 4, 4)}, nil, 3500, none},
		{"told otherwise", witness.Label{W: 70, H: 70, Line: round}, func(j *job.Job) { j.IgnoreDieLine = true }, 4900, none},

		{"0.2 mm too large", witness.Label{W: 70, H: 70, Line: witness.Rounded(-.2, -.2, 70.4, 70.4, 35.2, 35.2)}, func(j *job.Job) { j.Shape = geometry.ShapeCircle }, 0, .21},
		{"0.2 mm too large, and no shape said", witness.Label{W: 70, H: 70, Line: witness.Rounded(-.2, -.2, 70.4, 70.4, 35.2, 35.2)}, nil, 0, .21},
		{"corners 0.2 mm too large", witness.Label{W: 70, H: 50, Line: witness.Rounded(-.2, -.2, 70.4, 50.4, 4, 4)}, nil, 0, .28},
		{"0.2 mm beside the trim", witness.Label{W: 70, H: 50, Line: "0.2 0 70 50 re"}, nil, 0, .2},
		{"a square is said", witness.Label{W: 70, H: 70, Line: round}, func(j *job.Job) { j.Shape = geometry.ShapeRectangle }, 0, 35*math.Sqrt2 - 35},
		{"another radius", witness.Label{W: 70, H: 50, Line: witness.Rounded(0, 0, 70, 50, 4, 4)}, func(j *job.Job) { j.Radius = radius(3) }, 0, math.Sqrt2 - 1},
		{"66 mm of 70", witness.Label{W: 70, H: 70, Line: witness.Rounded(2, 2, 66, 66, 33, 33)}, func(j *job.Job) { j.Shape = geometry.ShapeCircle }, 0, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := onePlain(c.art.Write(t))
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
				counted = c.art.W * c.art.H
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
	circle := witness.Label{W: 70, H: 70, Line: witness.Rounded(0, 0, 70, 70, 35, 35)}.Write(t)
	soft := witness.Label{W: 70, H: 70, Line: witness.Rounded(0, 0, 70, 70, 5, 5)}.Write(t)
	plain := witness.Label{W: 70, H: 70, Ink: "Heron", Line: "0 0 70 70 re"}.Write(t)
	small := witness.Label{W: 50, H: 70, Line: witness.Rounded(0, 0, 50, 70, 5, 5)}.Write(t)
	tight := witness.Label{W: 50, H: 70, Line: witness.Rounded(0, 0, 50, 70, 2, 2)}.Write(t)
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
	file := witness.Label{W: 70, H: 70, Line: witness.Rounded(0, 0, 70, 70, 35, 35)}.Write(t)
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
	said := func(list []say.Note, code string) bool {
		return slices.ContainsFunc(list, func(n say.Note) bool { return n.Code == code })
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

// TestAnIgnoredDieLineIsToldOnce: whether it lies off the trim, stands in several
// lanes or is compared with a die, one warning says that it isn't cut.
func TestAnIgnoredDieLineIsToldOnce(t *testing.T) {
	inset := witness.Label{W: 70, H: 50, Line: "1 1 68 48 re"}.Write(t)
	round := witness.Label{W: 70, H: 70, Line: witness.Rounded(0, 0, 70, 70, 35, 35)}.Write(t)
	die := geometry.Die{Number: "7", Size: geometry.Size{Across: 70 * geometry.Millimetre, Around: 50 * geometry.Millimetre}, Shape: geometry.ShapeRectangle,
		Lanes: 1, Rows: 1, Repeat: 60 * geometry.Millimetre, Gap: geometry.Size{Across: 3 * geometry.Millimetre, Around: 10 * geometry.Millimetre}, Station: geometry.SemiRotary}
	for _, c := range []struct {
		name, file string
		say        func(*job.Job)
	}{
		{"off the trim", inset, func(*job.Job) {}},
		{"in two lanes", round, func(j *job.Job) { j.Artworks = append(j.Artworks, j.Artworks[0]) }},
		{"off the trim, on a die", inset, func(j *job.Job) { j.Dies, j.Die = &job.Library{Dies: []geometry.Die{die}}, "7" }},
		{"off the trim, among dies", inset, func(j *job.Job) { j.Dies = &job.Library{Dies: []geometry.Die{die}} }},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := onePlain(c.file)
			j.IgnoreDieLine = true
			c.say(j)
			im, err := Open(t.Context(), j)
			if err != nil {
				t.Fatal(err)
			}
			defer im.Close()
			s, err := im.Summary(Written{})
			if err != nil {
				t.Fatal(err)
			}
			var told []string
			for _, n := range s.Warnings {
				if strings.Contains(n.Text, "die line") {
					told = append(told, n.Text)
				}
			}
			if len(told) != 1 || strings.HasSuffix(strings.TrimSpace(told[0]), ",") {
				t.Errorf("the run says %q", told)
			}
			if j.Die != "" {
				return // fit asks which die serves
			}
			looked, err := SurveyArtworks(t.Context(), j)
			if err != nil || len(looked.DieLines) != 1 {
				t.Errorf("the survey says %+v, %v", looked.DieLines, err)
			}
		})
	}
}
