package ink

import (
	"fmt"
	"strings"
	"testing"
)

func look(v ...float64) Alternate {
	half := make([]float64, len(v))
	for i := range v {
		half[i] = v[i] / 2
	}
	return Alternate{"DeviceCMYK", v, half}
}

func names(t *Table) string {
	var list []string
	for _, e := range t.Inks {
		list = append(list, e.Name+":"+string(e.Kind))
	}
	return strings.Join(list, " ")
}

func codes(t *Table) string {
	var list []string
	for _, n := range t.Notes {
		list = append(list, n.Code)
	}
	return strings.Join(list, " ")
}

func TestTableMergesAndOrders(t *testing.T) {
	table := NewTable([]Sighting{
		{Name: "Die Line", Source: "a"}, {Name: "White", Source: "a"}, {Name: "Plum", Source: "a", Alternate: look(0, .9, .3, .4), CMYK: [4]float64{0, .9, .3, .4}},
		{Name: "Black", Source: "a"}, {Name: "Cyan", Source: "b"}, {Name: "Plum", Source: "b", Alternate: look(0, .9, .301, .4)},
		{Name: "Fern", Source: "b"}, {Name: "Varnish", Source: "b"},
	}, Rules{})
	if got, want := names(table), "Cyan:process Black:process Plum:spot Fern:spot White:white Varnish:varnish Die Line:technical"; got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	if got := codes(table); got != NoteGuessed {
		t.Errorf("notes %q", table.Notes)
	}
	plum, ok := table.Find("Plum")
	if !ok || fmt.Sprint(plum.Sources) != "[a b]" || plum.CMYK[1] != .9 {
		t.Errorf("Plum: %+v", plum)
	}
	if _, ok := table.Find("plum"); ok {
		t.Error("names are compared byte by byte")
	}
	if got := len(table.Printing()); got != 6 {
		t.Errorf("%d stations, want 6", got)
	}
}

func TestTableFollowsTheJobsRules(t *testing.T) {
	table := NewTable([]Sighting{
		{Name: "PLUM copy", Source: "a"}, {Name: "Plum", Source: "b"}, {Name: "Stamp", Source: "a"}, {Name: "Process Black", Source: "a"}, {Name: "Black", Source: "b"},
	}, Rules{
		Aliases: map[string]string{"PLUM copy": "Plum", "Process Black": "Black", "Nobody": "Plum"},
		Silence: []string{"Stamp"}, Technical: []string{"Nothing"},
	})
	if got, want := names(table), "Black:process Plum:spot Stamp:spot"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	plum, _ := table.Find("Plum")
	if fmt.Sprint(plum.Spelled) != "[PLUM copy Plum]" {
		t.Errorf("spelled %q", plum.Spelled)
	}
	if got := fmt.Sprint(table.Printing()); !strings.Contains(got, "Plum") || strings.Contains(got, "Stamp") {
		t.Errorf("stations %s", got)
	}
	if got, want := codes(table), NoteUnused+" "+NoteUnused; got != want {
		t.Errorf("notes %q", table.Notes)
	}
}

func TestTableReportsWhatDiffers(t *testing.T) {
	table := NewTable([]Sighting{
		{Name: "Plum", Source: "a", Alternate: look(0, .9, .3, .4)}, {Name: "Plum", Source: "b", Alternate: look(0, .9, .3, .5)},
		{Name: "Rule", Source: "a", Said: Technical}, {Name: "Rule", Source: "b"},
	}, Rules{})
	if got, want := codes(table), NoteAlternates+" "+NoteKinds; got != want {
		t.Fatalf("notes %q", table.Notes)
	}
	if got, want := table.Notes[0].Text, "Plum looks like DeviceCMYK 0 0.9 0.3 0.4 in a but like DeviceCMYK 0 0.9 0.3 0.5 in b; the first is used for both"; got != want {
		t.Errorf("%s", got)
	}
	if rule, _ := table.Find("Rule"); rule.Kind != Spot {
		t.Errorf("an ink that one artwork prints is %s", rule.Kind)
	}
	// The other order must give the same kind.
	table = NewTable([]Sighting{{Name: "Rule", Source: "b"}, {Name: "Rule", Source: "a", Said: Technical}}, Rules{})
	if rule, _ := table.Find("Rule"); rule.Kind != Spot || codes(table) != NoteKinds {
		t.Errorf("an ink that one artwork prints is %s, notes %q", rule.Kind, table.Notes)
	}
}

func TestLikelyDoubles(t *testing.T) {
	for _, c := range []struct {
		a, b   string
		double bool
	}{
		{"Quince Gold", "quince gold", true}, {"Quince Gold", "QuinceGold", true}, {"Quince-Gold", "Quince_Gold", true},
		{"Quince Gold", "Quince\u00a0Gold", true}, {"Quince Gold", "Quince Gold copy", true}, {"Quince Gold", "Quince Gold copy 2", true},
		{"Quince Gold", "Quince Gold (2)", true}, {"Mix 12 C", "Mix 12 U", true}, {"Mix 12 C", "Mix 12", true}, {"Process Cyan", "Cyan", true},
		{"Mix 12", "Mix 13", false}, {"Gold", "Gold 2", false}, {"Quince Gold", "Quince", false}, {"C", "U", false}, {"Copy", "Gold", false},
	} {
		table := NewTable([]Sighting{{Name: c.a, Source: "a"}, {Name: c.b, Source: "b"}}, Rules{})
		if got := codes(table) == NoteDouble; got != c.double {
			t.Errorf("%q and %q: %t, want %t (%q)", c.a, c.b, got, c.double, table.Notes)
		}
	}
}
