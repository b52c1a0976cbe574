package impose

import (
	"image"
	"image/draw"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/geometry/trials"
	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/witness"
)

// renderer draws a page.
type renderer struct {
	name string
	draw func(testing.TB, string, int, float64, ...witness.Option) image.Image
}

var renderers = []renderer{{"MuPDF", witness.MuPDF}, {"Poppler", witness.Poppler}}

// pixelsPerMM is even, or 11 in the long pass. Stations whose places are half
// millimetres then begin on whole pixels, or nearly, and their pictures can be compared
// with the artwork's, pixel by pixel.
var pixelsPerMM = map[bool]float64{false: 6, true: 11}[trials.Long()]

var dpi = 25.4 * pixelsPerMM

// TestStationsShowTheArtwork imposes label artwork that general-purpose
// programs wrote, upright, and a quarter of it turned, in the long pass all of it.
// It compares every station's pixels with the artwork's, in two renderers that
// share no code.
func TestStationsShowTheArtwork(t *testing.T) {
	files, err := filepath.Glob("../testdata/artwork/*.pdf")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d artworks, %v", len(files), err)
	}
	samples, _ := filepath.Glob("../samples/artwork/*.pdf")
	if testing.Short() {
		files, samples = files[:1], nil
	}
	for i, path := range append(files, samples...) {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".pdf"), func(t *testing.T) {
			t.Parallel()
			compareStations(t, path, geometry.Turn0)
			if i%4 == 1 || trials.Long() {
				compareStations(t, path, geometry.Turn(1+i/4%3))
			}
		})
	}
}

// Forms and annotations without resources show what they do on the artwork.
func TestBorrowedResourcesShow(t *testing.T) {
	path := witness.Borrowing(t)
	compareStations(t, path, geometry.Turn0)
	compareStations(t, path, geometry.Turn270)
}

// compareStations imposes two lanes and two rows and compares all four.
func compareStations(t *testing.T, path string, turn geometry.Turn) {
	t.Helper()
	const mm = geometry.Millimetre
	j := job.New()
	j.Name = "fidelity"
	j.Artworks = []job.Artwork{{File: path, Page: 1, Quantity: 8}}
	j.Turns = []geometry.Turn{turn}
	j.Gap = geometry.Size{Across: 4 * mm, Around: 4 * mm}
	j.Bleed = 1 * mm
	j.Lanes, j.Rows = 2, 2
	j.Repeat.Longest = 900 * mm
	zero := geometry.Length(0)
	j.TargetLane = &zero
	j.Marks, j.Targets = job.Marks{}, job.Targets{}
	j.Inks.Spot = []string{"Cutting"} // show the die line, as the artwork does
	j.WebWidth = narrowWeb(t, path, turn)
	im, out := imposed(t, j)
	witness.NoComplaint(t, out)
	alike := make([]int, im.Layout.Labels())
	for _, r := range renderers {
		if r.name == "Poppler" && filepath.Base(path) == "quince-offset-userunit.pdf" {
			continue // it ignores UserUnit, so it can't show what the artwork is
		}
		source, frame := r.draw(t, path, 1, dpi), r.draw(t, out, 1, dpi)
		p := im.Pages[0]
		crop := p.FormMatrix().Bounds(p.Boxes.Crop) // what renderers show, from the trim's corner
		art := turned(picture(source, -crop[0], crop[3], p.Size(), 1), turn)
		for i, s := range im.Layout.Station {
			d := witness.Compare(box(frame, s.Clip), art, witness.Tolerance{Over: 24, Reach: 1})
			if d.Share <= 0.002 {
				alike[i]++
				continue
			}
			if turn == geometry.Turn0 {
				t.Errorf("%s, lane %d, row %d: %v", r.name, s.Lane, s.Row, d)
			}
		}
	}
	// Renderers sample images and patterns along their own pixel grid, so that
	// a turned one may differ; then the other renderer decides.
	for i, n := range alike {
		if n == 0 {
			t.Errorf("turned %s, station %d is like the artwork in no renderer", turn, i+1)
		}
	}
}

// narrowWeb is as wide as two lanes of the artwork need, and a whole number of
// millimetres: bare web takes as long to draw as print.
func narrowWeb(t *testing.T, path string, turn geometry.Turn) geometry.Length {
	t.Helper()
	f, err := artwork.Open(path, artwork.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	p, err := f.Page(1)
	if err != nil {
		t.Fatal(err)
	}
	const even = 2 * geometry.Millimetre // so that the margins are whole millimetres, as the pixels want
	return (2*p.Size().Turned(turn).Across/even + 15) * even
}

// picture cuts the trim with a bleed of so many millimetres out of a rendered
// page; left and top say where the trim's lower left corner lies from the
// page's upper left one, in points.
func picture(page image.Image, left, top float64, size geometry.Size, bleed int) *image.RGBA {
	x := math.Round(left / 72 * dpi)
	y := math.Round(top / 72 * dpi)
	w, h := math.Round(size.Across.MM()*pixelsPerMM), math.Round(size.Around.MM()*pixelsPerMM)
	b := float64(bleed) * pixelsPerMM
	return cut(page, int(x-b), int(y-h-b), int(x+w+b), int(y+b))
}

// box cuts a box of the frame out of its picture.
func box(frame image.Image, b geometry.Box) image.Image {
	px := func(l geometry.Length) int { return int(math.Round(l.MM() * pixelsPerMM)) }
	return cut(frame, px(b.Min.Across), px(b.Min.Around), px(b.Max.Across), px(b.Max.Around))
}

// cut copies a part of a picture; what lies outside of it is paper.
func cut(src image.Image, x0, y0, x1, y1 int) *image.RGBA {
	out := image.NewRGBA(image.Rect(0, 0, x1-x0, y1-y0))
	draw.Draw(out, out.Bounds(), image.White, image.Point{}, draw.Src)
	inside := src.Bounds().Sub(src.Bounds().Min).Intersect(image.Rect(x0, y0, x1, y1))
	draw.Draw(out, inside.Sub(image.Pt(x0, y0)), src, src.Bounds().Min.Add(inside.Min), draw.Src)
	return out
}

// turned gives the picture turned counter-clockwise.
func turned(src *image.RGBA, t geometry.Turn) *image.RGBA {
	b := src.Bounds()
	size := geometry.Size{Across: geometry.Length(b.Dx()), Around: geometry.Length(b.Dy())}.Turned(t)
	out := image.NewRGBA(image.Rect(0, 0, int(size.Across), int(size.Around)))
	for y := range b.Dy() {
		for x := range b.Dx() {
			to := image.Pt(x, y)
			switch t {
			case geometry.Turn90:
				to = image.Pt(y, b.Dx()-1-x)
			case geometry.Turn180:
				to = image.Pt(b.Dx()-1-x, b.Dy()-1-y)
			case geometry.Turn270:
				to = image.Pt(b.Dy()-1-y, x)
			}
			out.SetRGBA(to.X, to.Y, src.RGBAAt(b.Min.X+x, b.Min.Y+y))
		}
	}
	return out
}
