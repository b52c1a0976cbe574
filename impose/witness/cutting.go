package witness

import (
	"context"
	"encoding/json"
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

// InkscapeExtents asks inkscape for the boxes of a drawing's elements by their
// id. They are the visual boxes, strokes included, and y grows downwards.
func InkscapeExtents(t testing.TB, path string) map[string]Extent {
	t.Helper()
	return extents(t, run(t, "inkscape", "--query-all", path))
}

func extents(t testing.TB, r result) map[string]Extent {
	t.Helper()
	const perPixel = 25.4 / 96
	boxes := map[string]Extent{}
	for _, line := range strings.Split(string(r.stdout), "\n") {
		f := strings.Split(strings.TrimSpace(line), ",")
		if len(f) != 5 {
			continue // inkscape also chats
		}
		var v [4]float64
		for i := range v {
			n, err := strconv.ParseFloat(f[i+1], 64)
			if err != nil {
				t.Fatalf("inkscape said %q", line)
			}
			v[i] = n * perPixel
		}
		boxes[f[0]] = Extent{v[0], v[1], v[0] + v[2], v[1] + v[3]}
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

// InkscapeDraws opens a drawing in inkscape, does the actions and writes it again as
// a drawing of its own. It gives the boxes and the picture on white of what it then
// shows, all of one start, which takes the longest. In releases from 1.0 to 1.4 the
// actions are called alike.
func InkscapeDraws(t testing.TB, from, to, actions string, dpi float64) (map[string]Extent, image.Image) {
	t.Helper()
	out := scratch(t, "drawing.png")
	r := run(t, "inkscape", "--actions="+actions+";export-filename:"+to+";export-do;query-all;export-type:png;export-background:white;export-dpi:"+number(dpi)+
		";export-filename:"+out+";export-do", from)
	return extents(t, r), read(t, out)
}

// DXF reads a DXF file with ezdxf and fails the test where its audit finds a
// fault.
func DXF(t testing.TB, path string) (release string, entities []DXFEntity) {
	t.Helper()
	out := Ezdxf(t, "-c", readDXF, path)
	var said struct {
		Release  string
		Faults   []string
		Entities []DXFEntity
	}
	if err := json.Unmarshal(out, &said); err != nil {
		t.Fatalf("ezdxf said %q: %v", out, err)
	}
	if len(said.Faults) > 0 {
		t.Errorf("ezdxf finds faults in %s: %s", path, strings.Join(said.Faults, "; "))
	}
	return said.Release, said.Entities
}

const readDXF = `
import json, sys, ezdxf
from ezdxf import bbox
d = ezdxf.readfile(sys.argv[1])
out = []
for e in d.modelspace():
    b = bbox.extents([e], flatten=0.0001)
    out.append({"Type": e.dxftype(), "Layer": e.dxf.layer, "Closed": bool(getattr(e, "is_closed", False)),
        "Count": len(e) if hasattr(e, "__len__") else 0,
        "Extent": {"MinX": b.extmin.x, "MinY": b.extmin.y, "MaxX": b.extmax.x, "MaxY": b.extmax.y}})
json.dump({"Release": d.dxfversion, "Faults": [str(f.message) for f in d.audit().errors], "Entities": out}, sys.stdout)
`
