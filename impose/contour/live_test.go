package contour

import (
	"bytes"
	"encoding/json"
	"image"
	"image/color"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/geometry/outline"
	"quoin/impose/witness"
)

// measuredArea gives the sum of all contours' areas in mm2.
func measuredArea(t *testing.T, d *Drawing) (area float64) {
	t.Helper()
	for _, one := range d.Outline.Contours() {
		o, err := outline.New(one)
		if err != nil {
			t.Fatal(err)
		}
		area += o.Area()
	}
	return area
}

// sameList reports whether two lists that a comma parts hold the same.
func sameList(a, b string) bool {
	sorted := func(s string) []string { return slices.Sorted(strings.SplitSeq(s, ", ")) }
	return slices.Equal(sorted(a), sorted(b))
}

// TestDrawnByEzdxf has ezdxf draw dies and say what box and area they have, and
// reads them.
func TestDrawnByEzdxf(t *testing.T) {
	dir := t.TempDir()
	var cases []struct {
		File, Layers, Left   string
		Faults               []string
		Contours, Gaps       int
		Area, Across, Around float64
	}
	if err := json.Unmarshal(witness.Ezdxf(t, filepath.Join("testdata", "programs", "draw.py"), dir), &cases); err != nil {
		t.Fatal(err)
	}
	if len(cases) < 10 {
		t.Fatalf("ezdxf drew %d dies", len(cases))
	}
	for _, c := range cases {
		if len(c.Faults) > 0 {
			t.Errorf("%s: ezdxf finds faults in its own drawing: %s", c.File, c.Faults)
		}
		data, err := os.ReadFile(filepath.Join(dir, c.File))
		if err != nil {
			t.Fatal(err)
		}
		d, err := ReadDXF(bytes.NewReader(data), Options{})
		if err != nil {
			t.Errorf("%s: %v", c.File, err)
			continue
		}
		area, size := measuredArea(t, d), d.Outline.Bounds().Size()
		// ezdxf's chords lie up to 0.0001 units inside the curves.
		if math.Abs(size.Across.MM()-c.Across) > 0.002 || math.Abs(size.Around.MM()-c.Around) > 0.002 || math.Abs(area-c.Area) > 5e-5*c.Area {
			t.Errorf("%s: %v of %.4f mm2, ezdxf says %.4f x %.4f mm of %.4f", c.File, size, area, c.Across, c.Around, c.Area)
		}
		if len(d.Outline.Contours()) != c.Contours || strings.Join(d.Layers, ", ") != c.Layers || len(d.Gaps) != c.Gaps || !sameList(d.Left(), c.Left) {
			t.Errorf("%s: %s; left %q; want %d contours of %s, %d gaps, %q left", c.File, d.Taken(), d.Left(), c.Contours, c.Layers, c.Gaps, c.Left)
		}
	}
}

// leafSVG is a leaf of curves on one layer and a box on another, as Inkscape has
// them.
const leafSVG = `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" width="WIDTH" height="HEIGHT" viewBox="0 0 160 120">
<defs><symbol id="dot" viewBox="0 0 10 10"><circle id="round" cx="5" cy="5" r="4"/></symbol></defs>
<g inkscape:groupmode="layer" inkscape:label="Cut" id="cut"><path id="leaf" d="M10 40C30 30 50 30 60 40C50 55 30 65 10 40Z"/>BODY</g>
<g inkscape:groupmode="layer" inkscape:label="Old" id="old"><rect id="box" x="1" y="2" width="150" height="110"/></g>
</svg>
`

// TestDrawnByInkscape has Inkscape draw, clone, turn, mirror, scale and hide,
// then measures its drawings by it: the boxes that it says, and the pixels that it fills.
func TestDrawnByInkscape(t *testing.T) {
	if testing.Short() {
		t.Skip("inkscape takes seconds to start")
	}
	const hide = ";select-clear;select-by-id:old;selection-hide"
	type drawn struct {
		body, actions string
		inch          bool
		contours      int
	}
	cases := map[string]drawn{
		"a clone, turned":           {"", "select-by-id:leaf;clone;transform-translate:200,150;transform-rotate:30", false, 2},
		"mirrored in a group":       {"", "select-by-id:leaf;selection-group;object-flip-horizontal;transform-rotate:17", false, 1},
		"inches":                    {"", "select-by-id:leaf;transform-rotate:-40", true, 1},
		"a symbol, clone of a use":  {`<use id="u" xlink:href="#dot" x="90" y="20" width="50" height="40"/>`, "select-by-id:u;clone;transform-translate:0,190;transform-rotate:20", false, 3},
		"shapes to paths":           {`<rect id="r" x="80" y="60" width="40" height="25" rx="6" ry="3"/><ellipse id="e" cx="120" cy="25" rx="25" ry="12" transform="skewX(8)"/>`, "select-by-id:r,e;object-to-path", false, 3},
		"a stroke to a path":        {`<path id="s" d="M80 70L120 80" style="fill:none;stroke:#000;stroke-width:12;stroke-linecap:round"/>`, "select-by-id:s;object-stroke-to-path", false, 2},
		"a clone of a clone, moved": {"", "select-by-id:leaf;clone;transform-translate:220,0;clone;transform-translate:0,200;object-flip-vertical", false, 3},
	}
	names := slices.Sorted(maps.Keys(cases))
	var files []witness.Drawing
	for _, name := range names {
		c, dir, size := cases[name], t.TempDir(), []string{"160mm", "120mm"}
		if c.inch {
			size = []string{"4in", "3in"}
		}
		text := strings.NewReplacer("WIDTH", size[0], "HEIGHT", size[1], "BODY", c.body).Replace(leafSVG)
		f := witness.Drawing{From: filepath.Join(dir, "from.svg"), To: filepath.Join(dir, "to.svg"), Actions: c.actions + hide}
		if err := os.WriteFile(f.From, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	const dpi = 200
	boxes, pictures := witness.InkscapeDraws(t, "cut", dpi, files...)
	for i, name := range names {
		c, box := cases[name], boxes[i]
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(files[i].To)
			if err != nil {
				t.Fatal(err)
			}
			d, err := ReadSVG(bytes.NewReader(data), Options{})
			if err != nil {
				t.Fatalf("%v\n%s", err, data)
			}
			if got := d.Outline.Bounds().Size(); math.Abs(got.Across.MM()-(box.MaxX-box.MinX)) > 0.001 || math.Abs(got.Around.MM()-(box.MaxY-box.MinY)) > 0.001 {
				t.Errorf("%v, inkscape says %+v", got, box)
			}
			want := black(pictures[i]) * (25.4 / dpi) * (25.4 / dpi)
			if got := measuredArea(t, d); math.Abs(got-want) > 1e-3*want {
				t.Errorf("%.3f mm2, inkscape fills %.3f at %d dpi", got, want, dpi)
			}
			if len(d.Outline.Contours()) != c.contours || strings.Join(d.Layers, ", ") != "Cut" || d.Left() != "1 hidden part on layer Old" {
				t.Errorf("%s; left %q", d.Taken(), d.Left())
			}
		})
	}
}

// black gives the pixels that a drawing in black on white fills, those on its
// edge by their shade.
func black(img image.Image) (n float64) {
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			n += 1 - float64(color.Gray16Model.Convert(img.At(x, y)).(color.Gray16).Y)/0xffff
		}
	}
	return n
}
