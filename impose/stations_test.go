package impose

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"quoin/impose/ink"
	"quoin/impose/witness"
)

// TestStationsAreThePlatesOfARIP holds the count of stations against the
// separations that Ghostscript makes of the frame: one of each colorant whose
// space is set, whether anything is seen of it or not, and none of what only
// stands in resources.
func TestStationsAreThePlatesOfARIP(t *testing.T) {
	witness.Need(t, "gs")
	const box = " 40 40 20 20 re f"
	cases := []struct {
		content string
		plates  string // beside the process inks
		idle    string
	}{
		{"", "", ""},
		{"/A cs 1 scn" + box, "Gold", ""},
		{"/A cs 1 scn", "Gold", "Gold"},
		{"/A CS", "Gold", "Gold"},
		{"/A cs 0 scn" + box, "Gold", "Gold"},
		{"/A cs 1 scn 400 400 20 20 re f", "Gold", "Gold"},
		{"q 0 0 5 5 re W n /A cs 1 scn" + box + " Q", "Gold", "Gold"},
		{"/OC /L BDC /A cs 1 scn" + box + " EMC", "Gold", "Gold"},
		{"/OC /L BDC /A cs 1 scn" + box + " EMC /A cs .5 scn" + box, "Gold", ""},
		{"/F Do", "Gold", ""},
		{"/N cs 1 0 scn" + box, "Gold, Silver", "Silver"},
		{"/N cs 0 0 scn" + box, "Gold, Silver", "Gold, Silver"},
		{"/E cs 1 1 scn" + box, "Gold", ""},
	}
	frames, files := make([]*Imposition, len(cases)), make([]string, len(cases))
	for i, c := range cases {
		frames[i], files[i] = imposed(t, jobFor(witness.IdleLabel(t, c.content)))
	}
	separated := witness.PlatesTogether(t, 18, files...)
	for i, c := range cases {
		im := frames[i]
		s, err := im.Summary(Written{})
		if err != nil {
			t.Fatal(err)
		}
		var stations, idle []string
		for _, e := range im.Inks.Inks {
			if e.TakesStation() && !ink.IsProcess(e.Name) {
				stations = append(stations, e.Name)
			}
		}
		for _, k := range s.Inks {
			if k.Idle {
				idle = append(idle, k.Name)
			}
		}
		plates := slices.Sorted(maps.Keys(separated[i]))
		plates = slices.DeleteFunc(plates, ink.IsProcess)
		slices.Sort(stations)
		if got := strings.Join(stations, ", "); got != c.plates || got != strings.Join(plates, ", ") || strings.Join(idle, ", ") != c.idle {
			t.Errorf("%q: stations for %s, plates of %s, want %q; idle %q, want %q", c.content, got, plates, c.plates, idle, c.idle)
		}
		if s.Run.PrintingInks != 1+len(plates) || warned(s, ink.NoteIdle) != (c.idle != "") {
			t.Errorf("%q: %d inks, warnings %v", c.content, s.Run.PrintingInks, s.Warnings)
		}
	}
}

// TestIdleInksCanBeSilenced: then the RIP makes no plate of them. Nothing of ours
// is drawn in an idle ink, for that would make its plate a full one.
func TestIdleInksCanBeSilenced(t *testing.T) {
	witness.Need(t, "gs")
	j := jobFor(witness.IdleLabel(t, "/N cs 1 0 scn 40 40 20 20 re f"))
	im, path := imposed(t, j)
	empty := witness.Plates(t, path, 1, 36)["Silver"]
	if empty == nil || slices.ContainsFunc(empty.Pix, func(p uint8) bool { return p != 0 }) {
		t.Error("the idle ink's plate is missing, or holds something of ours")
	}
	if slices.ContainsFunc(im.PrintingInks(), func(i ink.Ink) bool { return i.Name == "Silver" }) {
		t.Error("marks are drawn in it")
	}
	j.Inks.Silence = []string{"Silver"}
	im, path = imposed(t, j)
	if plates := witness.Plates(t, path, 1, 18); plates["Silver"] != nil || plates["Gold"] == nil {
		t.Errorf("plates %v", slices.Collect(maps.Keys(plates)))
	}
	s, err := im.Summary(Written{})
	if err != nil || s.Run.PrintingInks != 2 || warned(s, ink.NoteIdle) || warned(s, ink.NoteUnused) {
		t.Errorf("%d inks, warnings %v, %v", s.Run.PrintingInks, s.Warnings, err)
	}
}
