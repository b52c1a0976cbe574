package impose

import (
	"bytes"
	"fmt"
	"image"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"quoin/geometry"
	"quoin/geometry/trials"
	"quoin/impose/job"
	"quoin/impose/press"
	"quoin/impose/witness"
)

// hatched are labels of 57.325 mm x 40 mm whose tiling patterns have steps of
// 7.53 pt x 5.33 pt. Stations stand 171 pt (60.325 mm) x 120 pt apart, which is no
// whole number of those.
var hatched = map[string]struct {
	content, resources, matrix string
	uncoloured                 bool
	more                       []string // objects from 7 on
}{
	"upright": {content: "/Pattern cs /P scn 5 5 150 100 re f 0 0 0 1 K 5 5 150 100 re S"},
	"skewed":  {content: "/Pattern cs /P scn 5 5 150 100 re f", matrix: "/Matrix [.9 .31 -.22 1.13 3 4]"},
	"turned":  {content: "/Pattern CS /P SCN 9 w 20 20 m 140 90 l S", matrix: "/Matrix [.866025 .5 -.5 .866025 0 0]"},
	"in a form": {
		content: "q .8 .1 -.1 .8 20 5 cm /X Do Q", resources: "/XObject << /X 7 0 R >>",
		more: []string{witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 140 90] /Matrix [.8 0 0 .9 1 2] /Resources << /Pattern << /P 5 0 R >> >>",
			"/Pattern cs /P scn 3 3 120 80 re f")},
	},
	"in a form in a form, and on the page": {
		content: "/Pattern cs /P scn 0 0 60 113 re f q 1 0 0 1 50 5 cm /X Do Q q 1 0 0 1 90 45 cm /X Do Q", resources: "/XObject << /X 7 0 R >>",
		more: []string{
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 60 60] /Group << /S /Transparency >> /Resources << /XObject << /Y 8 0 R >> >>", "/Y Do"),
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 50 50] /Matrix [1 0 0 1 4 5] /Resources << /Pattern << /Q 5 0 R >> >>",
				"/Pattern cs /Q scn 3 3 40 40 re f"),
		},
	},
	"over black that stays": {
		content:   "0 0 0 .5 k 0 0 80 113 re f /Over gs /Pattern cs /P scn 20 10 130 90 re f",
		resources: "/ExtGState << /Over << /OP true /op true /OPM 1 >> >>",
	},
	"seen through": {
		content:   "0 0 1 0 k 0 0 80 113 re f /Half gs /Pattern cs /P scn 20 10 130 90 re f",
		resources: "/ExtGState << /Half << /ca .5 /BM /Multiply >> >>",
	},
	"in two colours": {
		content: "/Q cs 1 0 0 0 /P scn 5 5 150 50 re f 0 .5 1 0 /P scn 5 60 150 50 re f", resources: "/ColorSpace << /Q [/Pattern /DeviceCMYK] >>", uncoloured: true,
	},
	"by a soft mask": {
		content:   "/Mask gs 0 1 0 0 k 20 10 130 90 re f",
		resources: "/ExtGState << /Mask << /SMask << /S /Alpha /G 7 0 R >> >> >>",
		more: []string{witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 162 113] /Group << /S /Transparency /CS /DeviceGray >> /Resources << /Pattern << /P 5 0 R >> >>",
			"/Pattern cs /P scn 0 0 162 113 re f")},
	},
}

func hatch(t testing.TB, name string) string {
	t.Helper()
	h, ok := hatched[name]
	if !ok {
		t.Fatal(name)
	}
	paint, cell := 1, "0 1 0 0 k 0 0 3 2.2 re f /S cs 1 scn 3 2.2 2 2 re f"
	if h.uncoloured {
		paint, cell = 2, "0 0 3 2.2 re f 3 2.2 2 2 re f"
	}
	return witness.Handwritten(t, append([]string{
		"<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 162.49606 113.38583] /Contents 4 0 R /Resources << /Pattern << /P 5 0 R >> " + h.resources + " >> >>",
		witness.Stream("", h.content),
		witness.Stream(fmt.Sprintf("/PatternType 1 /PaintType %d /TilingType 2 /BBox [0 0 7.53 5.33] /XStep 7.53 /YStep 5.33 %s /Resources << /ColorSpace << /S 6 0 R >> >>", paint, h.matrix), cell),
		"[/Separation /Quince#20Gold /DeviceCMYK << /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 .3 .9 .1] /N 1 >>]",
	}, h.more...)...)
}

// hatchJob puts six stations on a frame.
func hatchJob(path string, turn geometry.Turn) *job.Job {
	j := placingJob(path)
	j.WebWidth, j.Lanes, j.Rows, j.Turns = 190*geometry.Millimetre, 3, 2, []geometry.Turn{turn}
	j.Gap = geometry.Size{Across: 3 * geometry.Millimetre, Around: 2_333_333}
	if turn%2 == 1 {
		j.Gap = geometry.Size{Across: 2_333_333, Around: 3 * geometry.Millimetre}
	}
	return j
}

// TestPatternsOfAnyStepNeedOneForm: stations share one form, and Ghostscript's
// plates are those of a form for each station, which ISO 32000-1 8.7.2 makes right
// by the letter and which needs no RIP to keep patterns apart. An edge may fall two
// pixels off: Ghostscript begins a small cell on a whole pixel, and a large one too.
// One form without large cells must fail the same comparison.
func TestPatternsOfAnyStepNeedOneForm(t *testing.T) {
	turns := geometry.Turn(4)
	if testing.Short() {
		turns = 1
	}
	for i, name := range slices.Sorted(maps.Keys(hatched)) {
		for turn := range turns {
			if i%3 != 0 && (testing.Short() || turn > 0) || turn > 0 && !trials.Long() && int(turn) != 1+i/3 {
				continue // each in one turn, a third of them in another, and that third in all by the long pass
			}
			t.Run(fmt.Sprintf("%s/%d", name, turn.Degrees()), func(t *testing.T) {
				im, out := imposed(t, hatchJob(hatch(t, name), turn))
				if im.RIP.Forms != 1 {
					t.Fatalf("%d forms", im.RIP.Forms)
				}
				im.costs = nil
				files := []string{writtenAgain(t, im), out}
				if turn == 0 {
					im.costs = []press.Cost{{Shared: true}}
					files = append(files, writtenAgain(t, im))
				}
				plates := witness.PlatesTogether(t, wrapDPI, files...)
				if off := platesOff(t, plates[0], plates[1]); off > .001 {
					t.Errorf("%.4f %% of the pixels are off", off*100)
				}
				if turn > 0 {
					return
				}
				if off := platesOff(t, plates[0], plates[2]); off < .01 {
					t.Errorf("without large cells, %.4f %% of the pixels are off, and the comparison can't tell", off*100)
				}
			})
		}
	}
}

// writtenAgain writes an imposition.
func writtenAgain(t *testing.T, im *Imposition) string {
	t.Helper()
	var b bytes.Buffer
	if err := im.WritePDF(t.Context(), &b); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "again.pdf")
	if err := os.WriteFile(path, b.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// wrapDPI puts stations whole pixels apart: 456 x 320.
const wrapDPI = 192

// platesOff gives the largest share of a plate's pixels that differ.
func platesOff(t *testing.T, want, got map[string]*image.Gray) float64 {
	t.Helper()
	worst, inked := 0.0, 0
	for ink, plate := range want {
		worst = max(worst, witness.Compare(plate, got[ink], witness.Tolerance{Over: 2, Reach: 2}).Share)
		for _, v := range plate.Pix {
			if v > 0 {
				inked++
			}
		}
	}
	if inked < 10_000 {
		t.Errorf("only %d pixels have ink", inked)
	}
	return worst
}
