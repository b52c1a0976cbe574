package witness

import (
	"encoding/json"
	"image"
	"image/color"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry/trials"
)

// probed is a row of testdata/placing/probes.json.
type probed struct {
	File   string
	Skip   []string
	Probes []struct {
		X, Y float64 // points from the top left of the page as shown
		RGB  []int
		Inks map[string]int // per cent
	}
}

// TestPlacingFilesShowWhatTheySay holds the hand-written pages to their table,
// so that a test of placing that uses them can trust it.
func TestPlacingFilesShowWhatTheySay(t *testing.T) {
	const dir = "../../testdata/placing"
	data, err := os.ReadFile(filepath.Join(dir, "probes.json"))
	if err != nil {
		t.Fatal(err)
	}
	var rows []probed
	if err := json.Unmarshal(data, &rows); err != nil {
		t.Fatal(err)
	}
	listed := map[string]bool{}
	for _, row := range rows {
		listed[row.File] = true
	}
	files, _ := filepath.Glob(filepath.Join(dir, "*.pdf"))
	for _, file := range files {
		if !listed[filepath.Base(file)] {
			t.Errorf("%s isn't in probes.json", file)
		}
	}
	if testing.Short() {
		t.Skip("renders 80 pages with four devices")
	}
	for _, row := range trials.Each(3, rows) { // those that impose places
		t.Run(strings.TrimSuffix(row.File, ".pdf"), func(t *testing.T) {
			t.Parallel()
			row.hold(t, filepath.Join(dir, row.File))
		})
	}
}

func (row probed) hold(t *testing.T, path string) {
	const dpi, slack = 72, 6
	shown := map[string]image.Image{}
	var plates map[string]*image.Gray
	for _, p := range row.Probes {
		x, y := int(p.X), int(p.Y)
		if p.RGB != nil {
			if len(shown) == 0 {
				shown["mupdf"], shown["poppler"], shown["gs"] = MuPDF(t, path, 1, dpi), Poppler(t, path, 1, dpi), Ghostscript(t, path, 1, dpi)
				for _, name := range row.Skip {
					delete(shown, name)
				}
			}
			for name, img := range shown {
				got := color.NRGBAModel.Convert(img.At(x, y)).(color.NRGBA)
				for i, v := range []uint8{got.R, got.G, got.B} {
					if off := int(v) - p.RGB[i]; off < -slack || off > slack {
						t.Errorf("%s shows %v at (%g, %g), want %v", name, got, p.X, p.Y, p.RGB)
						break
					}
				}
			}
			continue
		}
		if plates == nil {
			plates = Plates(t, path, 1, dpi)
		}
		for name := range p.Inks {
			if plates[name] == nil {
				t.Errorf("no plate %q", name)
			}
		}
		for name, plate := range plates {
			if off := int(plate.GrayAt(x, y).Y) - p.Inks[name]*255/100; off < -slack || off > slack {
				t.Errorf("plate %s holds %d of 255 at (%g, %g), want %d %%", name, plate.GrayAt(x, y).Y, p.X, p.Y, p.Inks[name])
			}
		}
	}
}
