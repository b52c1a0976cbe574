package witness

import (
	"context"
	"encoding/json"
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
	const perPixel = 25.4 / 96
	boxes := map[string]Extent{}
	for _, line := range strings.Split(string(run(t, "inkscape", "--query-all", path).stdout), "\n") {
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

// DXF reads a DXF file with ezdxf and fails the test where its audit finds a
// fault.
func DXF(t testing.TB, path string) (release string, entities []DXFEntity) {
	t.Helper()
	tool := Need(t, "ezdxf")
	script, err := os.ReadFile(tool)
	if err != nil {
		t.Fatal(err)
	}
	// The command's first line names the Python that has the library.
	first, _, _ := strings.Cut(string(script), "\n")
	python := strings.Fields(strings.TrimPrefix(first, "#!"))
	if !strings.HasPrefix(first, "#!") || len(python) == 0 {
		t.Fatalf("%s is no script", tool)
	}
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	out, err := exec.CommandContext(ctx, python[0], append(python[1:], "-c", readDXF, path)...).CombinedOutput()
	if err != nil {
		t.Fatalf("ezdxf can't read %s: %v\n%s", path, err, out)
	}
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
