package mark_test

import (
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/ink"
	"quoin/impose/mark"
	"quoin/impose/say"
)

// wide is a frame of three lanes with 10 mm between them.
func wide(t *testing.T, gap geometry.Length) *geometry.Layout {
	t.Helper()
	l, err := geometry.Plan(geometry.Request{
		Web:    geometry.Web{Width: 300 * mm, Edge: 5 * mm, TargetLane: 8 * mm},
		Label:  geometry.Size{Across: 60 * mm, Around: 80 * mm},
		Gap:    geometry.Size{Across: gap, Around: 4 * mm},
		Bleed:  1 * mm,
		Repeat: geometry.Repeat{Max: 500 * mm},
		Lanes:  3,
	})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// Every lane has its own solids, paper and mid-tones, on white where all are.
func TestEachLaneHasItsPatches(t *testing.T) {
	o := mark.Default()
	o.Targets.LanePatch, o.Targets.OnWhite = 3*mm, true
	m, err := mark.Lay(wide(t, 10*mm), []ink.Ink{white, cyan, black}, o)
	if err != nil {
		t.Fatal(err)
	}
	for lane := 1; lane <= 3; lane++ {
		var names []string
		for _, p := range m.Patches {
			if p.Lane == lane {
				names = append(names, p.Name)
			}
		}
		want := []string{"White", "Cyan on White", "Black on White", "paper on White", "White 50 %", "Cyan 50 % on White", "Black 50 % on White"}
		if !slices.Equal(names, want) {
			t.Errorf("lane %d: %q", lane, names)
		}
	}
	// A gap that bleed fills takes none, and a note says so.
	m, err = mark.Lay(wide(t, 4*mm), []ink.Ink{cyan}, o)
	if err != nil {
		t.Fatal(err)
	}
	said := slices.ContainsFunc(m.Notes, func(w say.Note) bool {
		return w.Code == mark.CodeLaneTargets && strings.Contains(w.Text, "3 lanes")
	})
	if !said || slices.ContainsFunc(m.Patches, func(p mark.Patch) bool { return p.Lane > 0 }) {
		t.Errorf("%v", m.Notes)
	}
}

// On clear stock all patches of colours stand on white, and one is bare; white
// itself is shown as before.
func TestPatchesOnWhite(t *testing.T) {
	o := mark.Default()
	o.Targets.OnWhite, o.Targets.ThreeInks, o.Targets.Once = true, true, true
	m, err := mark.Lay(wide(t, 4*mm), []ink.Ink{white, cyan, magenta, yellow}, o)
	if err != nil {
		t.Fatal(err)
	}
	bare := 0
	for _, p := range m.Patches {
		switch {
		case p.What == mark.Bare:
			bare++
			if len(p.Tints) > 0 {
				t.Errorf("the bare patch prints %v", p.Tints)
			}
		case p.Ink == "White":
		case len(p.Tints) == 0 || p.Tints[0].Ink != "White" || p.Tints[0].Amount != 1:
			t.Errorf("%s is printed on no white: %v", p.Name, p.Tints)
		}
	}
	if bare != 1 {
		t.Errorf("%d bare patches", bare)
	}
	if !slices.ContainsFunc(m.Patches, func(p mark.Patch) bool { return p.Name == "three inks on White" && len(p.Tints) == 4 }) {
		t.Error("no patch of three inks")
	}
}

// A patch takes the instrument's opening with room on all sides.
func TestMeasurable(t *testing.T) {
	if got := mark.Measurable(geometry.Size{Across: 5 * mm, Around: 5 * mm}, 6*mm); got != (geometry.Size{Across: 7 * mm, Around: 7 * mm}) {
		t.Errorf("%v", got)
	}
	if got := mark.Measurable(geometry.Size{Across: 5 * mm, Around: 9 * mm}, 3*mm); got != (geometry.Size{Across: 5 * mm, Around: 9 * mm}) {
		t.Errorf("%v", got)
	}
}
