package witness

import (
	"math"
	"os"
	"path/filepath"
	"testing"
)

func written(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func (e Extent) near(f Extent) bool {
	return math.Abs(e.MinX-f.MinX) < 1e-3 && math.Abs(e.MinY-f.MinY) < 1e-3 &&
		math.Abs(e.MaxX-f.MaxX) < 1e-3 && math.Abs(e.MaxY-f.MaxY) < 1e-3
}

func TestInkscapeExtents(t *testing.T) {
	if testing.Short() {
		t.Skip("inkscape takes seconds to start")
	}
	path := written(t, "a.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="40mm" viewBox="0 0 50 40">
<circle id="disc" cx="20" cy="15" r="10"/></svg>`)
	if got, want := InkscapeExtents(t, "disc", path)[0], (Extent{10, 5, 30, 25}); !got.near(want) {
		t.Errorf("the disc is %v, want %v", got, want)
	}
}

func TestDXF(t *testing.T) {
	// A half circle of radius 5 above its chord.
	path := written(t, "a.dxf", "0\nSECTION\n2\nENTITIES\n0\nARC\n8\nA\n10\n7\n20\n3\n40\n5\n50\n0\n51\n180\n0\nENDSEC\n0\nEOF\n")
	read := DXF(t, path)[0]
	release, got := read.Release, read.Entities
	want := Extent{2, 3, 12, 8}
	if release != "AC1009" || len(got) != 1 || got[0].Type != "ARC" || got[0].Layer != "A" || !got[0].Extent.near(want) {
		t.Errorf("release %s, entities %v, want an ARC in %v", release, got, want)
	}
}
