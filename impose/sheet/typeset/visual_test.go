package typeset

import "testing"

// TestVisual compares with what was worked out by hand from the rules of UAX 9
// and the joining types of Unicode's ArabicShaping.txt; the contextual forms are
// those of the chart of block FE70-FEFF.
func TestVisual(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"latin", "Quince (4)", "Quince (4)"},
		// beh is initial, alef final, beh isolated: written from the right.
		{"arabic joins", "باب", "\u0628\ufe8e\ufe91"},
		// lam and alef are one ligature.
		{"lam alef", "لا", "\ufefb"},
		{"hebrew", "מיץ", "ץימ"},
		// The number belongs to the Hebrew word before it (rules N1, I1, L2).
		{"mixed", "Lot מיץ 12", "Lot 12 ץימ"},
		{"number in hebrew", "מיץ 12 ל", "ל 12 ץימ"},
		{"brackets", "מ(י)", "(י)מ"},
	} {
		d := NewDocument(100, 100, "")
		if got := d.setting.visual(c.in); got != c.want {
			t.Errorf("%s: %q is seen as %q (%+q), want %q (%+q)", c.name, c.in, got, got, c.want, c.want)
		}
	}
}
