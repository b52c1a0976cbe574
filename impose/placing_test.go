package impose

import (
	"context"
	"encoding/json"
	"errors"
	"image"
	"image/color"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/geometry/trials"
	"quoin/impose/job"
	"quoin/impose/pdfobj"
	"quoin/impose/witness"
)

// probed is a row of testdata/placing/probes.json: points of a page with the
// colour that a renderer shows there, or the inks that a separation has there.
type probed struct {
	File   string
	Skip   []string // renderers known to show it wrong
	Probes []probe
}

type probe struct {
	X, Y float64 // points from the top left of the page as shown
	RGB  []int
	Inks map[string]int // per cent
}

func placingRows(t *testing.T) []probed {
	t.Helper()
	data, err := os.ReadFile("../testdata/placing/probes.json")
	if err != nil {
		t.Fatal(err)
	}
	var rows []probed
	if err := json.Unmarshal(data, &rows); err != nil {
		t.Fatal(err)
	}
	return rows
}

// bakedIn are the rows that some renderer shows wrong as a page by itself but
// must show right on the frame, because placing has settled what they differ
// over: UserUnit goes into the form's matrix, and an annotation that doesn't
// print is left out.
var bakedIn = []string{"userunit-2.pdf", "userunit-rotate.pdf", "pattern-userunit.pdf", "annotation-screen-only.pdf"}

// faulty are the rows whose content has a fault that Ghostscript tells of. It is
// the customer's, and is placed as it is.
var faulty = []string{"unbalanced.pdf", "icc-gray-lab.pdf"}

// refused are the rows that must not be placed.
var refused = map[string]error{
	"encrypted-no-assembly.pdf": pdfobj.ErrNotPermitted,
	"encrypted-password.pdf":    pdfobj.ErrPassword,
}

// TestPlacedPagesShowWhatTheySay imposes every third page of testdata/placing upright
// or turned, in the long pass every page both ways, and holds all four stations to the probes that hold for
// the page by itself, in MuPDF, Poppler, Ghostscript and its separations. The
// table in testdata/placing/README.md has the clause of each.
func TestPlacedPagesShowWhatTheySay(t *testing.T) {
	rows := placingRows(t)
	if len(rows) < 90 {
		t.Fatalf("only %d rows", len(rows))
	}
	for i, row := range rows {
		if testing.Short() && i%40 != 3 || i%3 > 0 && !trials.Long() {
			continue
		}
		t.Run(strings.TrimSuffix(row.File, ".pdf"), func(t *testing.T) {
			t.Parallel()
			j := placingJob(filepath.Join("../testdata/placing", row.File))
			if want, ok := refused[row.File]; ok {
				if _, err := Open(t.Context(), j); !errors.Is(err, want) {
					t.Errorf("got %v, want it refused: %v", err, want)
				}
				return
			}
			if i%2 == 0 || trials.Long() {
				row.hold(t, j, geometry.Turn0)
			}
			if i%2 == 1 || trials.Long() {
				row.hold(t, j, geometry.Turn(1+i%3))
			}
		})
	}
}

// placingJob stands a page on two lanes and two rows, without marks.
func placingJob(paths ...string) *job.Job {
	const mm = geometry.Millimetre
	j := job.New()
	j.Name = "placing"
	for _, p := range paths {
		j.Artworks = append(j.Artworks, job.Artwork{File: p, Page: 1, Quantity: 8})
	}
	j.WebWidth, j.Repeat.Longest = 360*mm, 500*mm
	j.Turns = []geometry.Turn{geometry.Turn0}
	j.Gap, j.Bleed = geometry.Size{Across: 3 * mm, Around: 3 * mm}, 0
	j.Lanes, j.Rows = 2, 2
	zero := geometry.Length(0)
	j.TargetLane = &zero
	j.Marks, j.Targets = job.Marks{}, job.Targets{}
	j.Inks.Spot = []string{"Cutting"} // so that the die line is seen
	return j
}

// hold imposes the job and probes each of its stations.
func (row probed) hold(t *testing.T, j *job.Job, turn geometry.Turn) {
	t.Helper()
	j.Turns = []geometry.Turn{turn}
	im, out := imposed(t, j)
	switch {
	case slices.Contains(faulty, row.File):
		witness.QPDFCheck(t, out)
	case turn == geometry.Turn0:
		witness.NoComplaint(t, out)
	}
	look := &looker{t: t, path: out, skip: row.Skip}
	if slices.Contains(bakedIn, row.File) {
		look.skip = nil
	}
	held := 0
	for i := range im.Layout.Station {
		for _, p := range row.Probes {
			x, y, on := onFrame(im, i, p.X+.5, p.Y+.5)
			if on {
				held++
				look.at(x, y, p)
			}
		}
	}
	if held == 0 {
		t.Error("no probe lies on a station")
	}
	if p := im.Pages[0]; p.UserUnit != 1 || p.Rotate != 0 {
		kid := witness.QPDFJSON(t, out).Get("Root", "Pages", "Kids", 0, "Kids", 0).(map[string]any)
		if kid["/UserUnit"] != nil || kid["/Rotate"] != nil {
			t.Error("the frame has UserUnit or Rotate: not every reader obeys them")
		}
	}
}

// onFrame gives where a point of the artwork's page as shown, counted from its
// top left, lies on the frame, in points from its top left; on tells whether
// the station prints it.
func onFrame(im *Imposition, station int, x, y float64) (across, around float64, on bool) {
	s := im.Layout.Station[station]
	p := im.Pages[im.lanes[s.Lane-1]]
	m := p.FormMatrix()
	trim, crop := m.Bounds(p.Boxes.Trim), m.Bounds(p.Boxes.Crop)
	// From the middle of the trim, right and up.
	x, y = crop[0]+x-trim.Width()/2, crop[3]-y-trim.Height()/2
	for range s.Turn {
		x, y = -y, x
	}
	c := s.Trim.Centre()
	across, around = c.Across.Points()+x, c.Around.Points()-y
	clip := s.Clip
	on = across > clip.Min.Across.Points() && across < clip.Max.Across.Points() &&
		around > clip.Min.Around.Points() && around < clip.Max.Around.Points()
	return across, around, on
}

// looker renders a page as it is asked for.
type looker struct {
	t      *testing.T
	path   string
	skip   []string
	shown  map[string]image.Image
	plates map[string]*image.Gray
}

const lookDPI = 72

// slack is how far a channel may be off, of 255: stations lie between pixels,
// and a gradient over 80 points changes by 3 from one to the next.
const slack = 14

func (l *looker) at(x, y float64, p probe) {
	l.t.Helper()
	px, py := int(x*lookDPI/72), int(y*lookDPI/72)
	if p.RGB != nil {
		l.render()
		for _, name := range []string{"mupdf", "poppler", "gs"} {
			img, ok := l.shown[name]
			if !ok {
				continue
			}
			got := color.NRGBAModel.Convert(img.At(px, py)).(color.NRGBA)
			for i, v := range []uint8{got.R, got.G, got.B} {
				if off := int(v) - p.RGB[i]; off < -slack || off > slack {
					l.t.Errorf("%s shows %v at (%.1f, %.1f) of the frame, (%g, %g) of the page, want %v", name, got, x, y, p.X, p.Y, p.RGB)
					break
				}
			}
		}
		return
	}
	l.inks(px, py, p.Inks)
}

// inks holds a pixel of all plates; an ink that isn't named must not be there.
func (l *looker) inks(px, py int, want map[string]int) {
	l.t.Helper()
	if l.plates == nil {
		l.plates = witness.Plates(l.t, l.path, 1, lookDPI)
	}
	for name := range want {
		if l.plates[name] == nil {
			l.t.Errorf("no plate %q", name)
		}
	}
	for name, plate := range l.plates {
		got := int(plate.GrayAt(px, py).Y)
		if off := got - want[name]*255/100; off < -slack || off > slack {
			l.t.Errorf("plate %s holds %d of 255 at pixel (%d, %d), want %d %%", name, got, px, py, want[name])
		}
	}
}

func (l *looker) render() {
	if l.shown != nil {
		return
	}
	l.shown = map[string]image.Image{}
	for name, draw := range map[string]func(testing.TB, string, int, float64, ...witness.Option) image.Image{
		"mupdf": witness.MuPDF, "poppler": witness.Poppler, "gs": witness.Ghostscript,
	} {
		if !slices.Contains(l.skip, name) {
			l.shown[name] = draw(l.t, l.path, 1, lookDPI)
		}
	}
	if len(l.shown) < 2 {
		l.t.Errorf("only %d renderers can be asked", len(l.shown))
	}
}

// A web of exactly two labels holds two: 500 pt are 176.3889 mm.
func TestAWebOfExactlyTwoLabels(t *testing.T) {
	path := witness.Handwritten(t, "<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 500 200] /TrimBox [0 0 500 200] /Contents 4 0 R >>", witness.Stream("", "0 g 9 9 99 99 re f"))
	j := placingJob(path)
	j.Gap, j.Lanes = geometry.Size{}, 0
	j.WebWidth = 352_777_800 // 352.7778 mm
	none := geometry.Length(0)
	j.EdgeMatrix = &none
	im, err := Open(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	if len(im.lanes) != 2 {
		t.Errorf("%d lanes", len(im.lanes))
	}
}
