package witness

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
)

// Extent is the box of something drawn, in millimetres, with the second axis as
// the file has it.
type Extent struct{ MinX, MinY, MaxX, MaxY float64 }

// InkscapeExtents asks inkscape, in one start, for the box of the element of an id in
// each drawing. It is the visual box, strokes included, and y grows downwards.
func InkscapeExtents(t testing.TB, id string, paths ...string) []Extent {
	t.Helper()
	return extents(t, run(t, "inkscape", append([]string{"--query-all"}, paths...)...), id, len(paths))
}

// extents takes the boxes of an id, one of each drawing, from all that was told.
func extents(t testing.TB, r result, id string, drawings int) (boxes []Extent) {
	t.Helper()
	const perPixel = 25.4 / 96
	for _, line := range strings.Split(string(r.stdout), "\n") {
		f := strings.Split(strings.TrimSpace(line), ",")
		if len(f) != 5 || f[0] != id {
			continue // another element, or chat
		}
		var v [4]float64
		for i := range v {
			n, err := strconv.ParseFloat(f[i+1], 64)
			if err != nil {
				t.Fatalf("inkscape said %q", line)
			}
			v[i] = n * perPixel
		}
		boxes = append(boxes, Extent{v[0], v[1], v[0] + v[2], v[1] + v[3]})
	}
	if len(boxes) != drawings {
		t.Fatalf("inkscape tells of %d elements %s in %d drawings:\n%s%s", len(boxes), id, drawings, r.stdout, r.stderr)
	}
	return boxes
}

// DXFEntity is what ezdxf reads of one thing drawn in a DXF file.
type DXFEntity struct {
	Type   string
	Layer  string
	Closed bool
	Count  int    // of corners
	Extent Extent // of the entity with its arcs, y upwards
}

// Ezdxf runs the Python that has ezdxf, with arguments as Python takes them, and
// returns what it prints.
func Ezdxf(t testing.TB, args ...string) []byte {
	t.Helper()
	script, err := os.ReadFile(Need(t, "ezdxf"))
	if err != nil {
		t.Fatal(err)
	}
	// The command's first line names the Python that has the library.
	first, _, _ := strings.Cut(string(script), "\n")
	python := strings.Fields(strings.TrimPrefix(first, "#!"))
	if !strings.HasPrefix(first, "#!") || len(python) == 0 {
		t.Fatal("ezdxf is no script")
	}
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	out, err := exec.CommandContext(ctx, python[0], append(python[1:], args...)...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s with ezdxf: %v\n%s", args, err, out)
	}
	return out
}

// Drawing is what inkscape is to do with a file.
type Drawing struct {
	From, To string // the files that it opens and writes again
	Actions  string // in between, with semicolons
}

// InkscapeDraws opens drawings in inkscape, one after another, does the actions of
// each and writes it again as a drawing of its own. It gives the box of the element of
// an id and the picture on white of what it then shows, all of one start, which takes
// the longest. In releases from 1.0 to 1.4 the actions are called alike.
func InkscapeDraws(t testing.TB, id string, dpi float64, drawings ...Drawing) (boxes []Extent, pictures []image.Image) {
	t.Helper()
	path := Need(t, "inkscape")
	var told strings.Builder
	var files []string
	for _, d := range drawings {
		out := scratch(t, "drawing.png")
		files = append(files, out)
		fmt.Fprintf(&told, "file-open:%s\n%s;export-type:svg;export-filename:%s;export-do;query-all;export-type:png;export-background:white;export-dpi:%s;export-filename:%s;export-do\nfile-close\n",
			d.From, d.Actions, d.To, number(dpi), out)
	}
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	cmd := exec.CommandContext(ctx, path, "--shell")
	cmd.Stdin = strings.NewReader(told.String() + "quit\n")
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	if err := cmd.Run(); err != nil {
		t.Fatalf("inkscape --shell: %v\n%s%s", err, stdout.Bytes(), stderr.Bytes())
	}
	for _, file := range files {
		pictures = append(pictures, read(t, file))
	}
	return extents(t, result{stdout: stdout.Bytes(), stderr: stderr.Bytes()}, id, len(drawings)), pictures
}

// DXFDrawing is what ezdxf reads of a file.
type DXFDrawing struct {
	Release  string
	Entities []DXFEntity
}

// DXF reads DXF files with ezdxf, in one start, and fails the test where its audit
// finds a fault.
func DXF(t testing.TB, paths ...string) (drawings []DXFDrawing) {
	t.Helper()
	out := Ezdxf(t, append([]string{"-c", readDXF}, paths...)...)
	var said []struct {
		DXFDrawing
		Faults []string
	}
	if err := json.Unmarshal(out, &said); err != nil || len(said) != len(paths) {
		t.Fatalf("ezdxf said %q: %v", out, err)
	}
	for i, one := range said {
		if len(one.Faults) > 0 {
			t.Errorf("ezdxf finds faults in %s: %s", paths[i], strings.Join(one.Faults, "; "))
		}
		drawings = append(drawings, one.DXFDrawing)
	}
	return drawings
}

const readDXF = `
import json, sys, ezdxf
from ezdxf import bbox
out = []
for path in sys.argv[1:]:
    d = ezdxf.readfile(path)
    entities = []
    for e in d.modelspace():
        b = bbox.extents([e], flatten=0.0001)
        entities.append({"Type": e.dxftype(), "Layer": e.dxf.layer, "Closed": bool(getattr(e, "is_closed", False)),
            "Count": len(e) if hasattr(e, "__len__") else 0,
            "Extent": {"MinX": b.extmin.x, "MinY": b.extmin.y, "MaxX": b.extmax.x, "MaxY": b.extmax.y}})
    out.append({"Release": d.dxfversion, "Faults": [str(f.message) for f in d.audit().errors], "Entities": entities})
json.dump(out, sys.stdout)
`
