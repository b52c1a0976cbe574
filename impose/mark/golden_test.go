package mark_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/mark"
)

const (
	mm = geometry.Millimetre
	um = geometry.Micrometre
)

var update = flag.Bool("update", os.Getenv("UPDATE") == "1", "rewrite the golden files (or UPDATE=1)")

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll("testdata", 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; UPDATE=1 writes it", err)
	}
	if got != string(want) {
		t.Errorf("%s differs; UPDATE=1 rewrites it, then read the diff\ngot:\n%s", path, got)
	}
}

var (
	cyan    = ink.Ink{Name: ink.Cyan, Kind: ink.Process, CMYK: [4]float64{1, 0, 0, 0}}
	magenta = ink.Ink{Name: ink.Magenta, Kind: ink.Process, CMYK: [4]float64{0, 1, 0, 0}}
	yellow  = ink.Ink{Name: ink.Yellow, Kind: ink.Process, CMYK: [4]float64{0, 0, 1, 0}}
	black   = ink.Ink{Name: ink.Black, Kind: ink.Process, CMYK: [4]float64{0, 0, 0, 1}}
	orange  = ink.Ink{Name: "Sunset Orange", Kind: ink.Spot, CMYK: [4]float64{0, .6, 1, 0}}
	white   = ink.Ink{Name: "White", Kind: ink.White}
	varnish = ink.Ink{Name: "Gloss", Kind: ink.Varnish}
)

func plan(t testing.TB, r geometry.Request) *geometry.Layout {
	t.Helper()
	l, err := geometry.Plan(r)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// small is a frame of 2 x 3 labels with gaps that have room for everything.
func small(t testing.TB) *geometry.Layout {
	return plan(t, geometry.Request{
		Web:    geometry.Web{Width: 150 * mm, Edge: 5 * mm, TargetLane: 8 * mm},
		Label:  geometry.Size{Across: 50 * mm, Around: 40 * mm},
		Gap:    geometry.Size{Across: 4 * mm, Around: 8 * mm},
		Bleed:  1 * mm,
		Repeat: geometry.Repeat{Max: 150 * mm},
	})
}

func lay(t testing.TB, l *geometry.Layout, inks []ink.Ink, o mark.Selection) *mark.Marks {
	t.Helper()
	m, err := mark.Lay(l, inks, o)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func text(m *mark.Marks) string {
	var b strings.Builder
	b.WriteString(draw.Notation(m.Items))
	for _, p := range m.Patches {
		fmt.Fprintf(&b, "patch %d, set %d %s: %s %q of %q at %s,%s\n", p.Number, p.Set, p.Side, p.What, p.Name, p.Ink,
			p.Box.Min.Across.Digits(), p.Box.Min.Around.Digits())
	}
	for _, w := range m.Warnings {
		b.WriteString("warning " + w.Code + ": " + w.Text + "\n")
	}
	for _, w := range m.Notes {
		b.WriteString("note " + w.Code + ": " + w.Text + "\n")
	}
	return b.String()
}

func TestSmallFrame(t *testing.T) {
	o := mark.Default()
	o.Slug = &mark.Slug{Job: "4711", Lanes: []string{"Lemon", "Lime"}}
	o.Eye = usualEye()
	o.Trim = mark.DefaultTrim()
	golden(t, "small.txt", text(lay(t, small(t), []ink.Ink{cyan, magenta, yellow, black}, o)))
}
