package say

import (
	"strings"
	"testing"
)

func TestNearest(t *testing.T) {
	known := []string{"artworks", "label", "gap", "bleed", "repeat", "frame-max", "target-lane", "web", "teeth"}
	for word, want := range map[string]string{
		"gap-tall":                "gap",         // a longer word that a key begins
		"frame":                   "frame-max",   // the beginning of a key
		"blead":                   "bleed",       // a wrong letter
		"bleeed":                  "bleed",       // one too many
		"repaet":                  "repeat",      // two swapped
		"Target_Lane":             "target-lane", // other letters and joints
		"art works":               "artworks",
		"colour":                  "",
		"lbl":                     "label", // letters left out
		"rpt":                     "repeat",
		"":                        "",
		"日本語":                     "",
		strings.Repeat("w", 1000): "",
	} {
		if got := Nearest(word, known); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", word, got, want)
		}
	}
}

func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"gap", "gap", 0}, {"gap", "", 3}, {"", "gap", 3},
		{"web", "wbe", 1}, {"label", "lable", 1}, {"kitten", "sitting", 3},
	} {
		if got := distance(c.a, c.b); got != c.want {
			t.Errorf("distance(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
	}
}
