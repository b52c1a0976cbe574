package contour

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/geometry/outline"
)

// drawings were made and measured by other programs: those in DXF by ezdxf
// 0.18.1 (extents and areas of what its flattening gives, of what is shown; it
// leaves out the code of the invisible part, which was put in by hand), those in
// SVG by Inkscape 1.2.2 (box as --query-all says it, area as the pixels that it
// fills at 1200 dpi, which are 0.02 % too few along the edge). Areas are the sum of all contours'.
var drawings = []struct {
	file           string
	across, around float64 // mm
	area, within   float64 // mm2
	contours       int
	layers, left   string
	gaps           int
}{
	{"hidden.dxf", 60.00000, 80.00000, 4778.5397, 0.003, 1, "CUT", "1 part on layer OFF, which is off, 1 part on layer FROZEN, which is frozen, 1 invisible part, 1 TEXT, 1 part in paper space", 0},
	{"block.dxf", 22.34212, 50.74340, 662.1791, 0.003, 1, "CUT", "", 0},
	{"stretched.dxf", 59.77437, 40.77446, 1434.3929, 0.003, 2, "CUT", "", 0},
	{"mirrored.dxf", 41.22522, 68.77261, 983.0358, 0.003, 1, "CUT", "", 0},
	{"behind.dxf", 40.00000, 61.50000, 983.0358, 0.003, 1, "CUT", "", 0},
	{"rational.dxf", 48.49232, 50.00000, 1946.2003, 0.003, 1, "CUT", "", 0},
	{"quintic.dxf", 59.32016, 65.96102, 2987.0512, 0.003, 1, "CUT", "", 0},
	{"inch.dxf", 76.87434, 43.18000, 2442.3283, 0.003, 1, "CUT", "", 0},
	{"grid.dxf", 60.00000, 40.00000, 1526.8129, 0.003, 6, "CUT", "", 0},
	{"gap.dxf", 50.03000, 40.00000, 2000.6000, 0.003, 1, "CUT", "", 2},
	{"clone.svg", 46.98471, 29.95374, 926.798, 0.25, 1, "Cut", "1 hidden part on layer Notes", 0},
	{"symbol.svg", 97.55055, 31.61718, 854.988, 0.25, 2, "Cut", "1 hidden part on layer Notes", 0},
	{"packed.svgz", 46.98471, 29.95374, 926.798, 0.25, 1, "Cut", "1 hidden part on layer Notes", 0},
}

func TestDrawingsOfPrograms(t *testing.T) {
	for _, c := range drawings {
		data, err := os.ReadFile(filepath.Join("testdata", "programs", c.file))
		if err != nil {
			t.Fatal(err)
		}
		read := ReadDXF
		if !strings.HasSuffix(c.file, ".dxf") {
			read = ReadSVG
		}
		d, err := read(bytes.NewReader(data), Options{})
		if err != nil {
			t.Errorf("%s: %v", c.file, err)
			continue
		}
		area := 0.0
		for _, one := range d.Outline.Contours() {
			o, err := outline.New(one)
			if err != nil {
				t.Fatal(err)
			}
			area += o.Area()
		}
		size := d.Outline.Bounds().Size()
		if math.Abs(size.Across.MM()-c.across) > 0.001 || math.Abs(size.Around.MM()-c.around) > 0.001 || math.Abs(area-c.area) > c.within {
			t.Errorf("%s: %v of %.4f mm2, want %g x %g mm of %.4f", c.file, size, area, c.across, c.around, c.area)
		}
		var left []string
		if l := d.Left(); l != "" {
			left = strings.Split(l, ", ")
		}
		slices.Sort(left)
		want := strings.Split(c.left, ", ")
		slices.Sort(want)
		if len(d.Outline.Contours()) != c.contours || strings.Join(d.Layers, ", ") != c.layers || strings.Join(left, ", ") != strings.Join(want, ", ") || len(d.Gaps) != c.gaps {
			t.Errorf("%s: %d contours of layers %v, gaps %v, left %q", c.file, len(d.Outline.Contours()), d.Layers, d.Gaps, d.Left())
		}
	}
}
