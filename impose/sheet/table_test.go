package sheet

import (
	"strings"
	"testing"
)

// TestWordsStayWhole: a long product's name leaves the artwork's column room
// for the longest part of its file's name, and heads break between words only.
func TestWordsStayWhole(t *testing.T) {
	c := example(6, 5, []string{"000461 Apple juice early apple, second edition with the corrected deposit notice", "000465 Perry summer"})
	for i := range c.Artworks {
		c.Artworks[i].File, c.Artworks[i].Ordered, c.Artworks[i].Labels = "artwork/orchard-juice.pdf", 3_000_000, 3_000_240
	}
	for _, paper := range []Paper{A4, Letter} {
		seen := 0
		for _, w := range compose(c, paper).Texts {
			for _, whole := range []string{"Artwork", "orchard-", "juice.pdf", "Product", "Ordered", "Made", "corrected"} {
				if len(w.Text) > 1 && w.Text != whole && (strings.HasPrefix(whole, w.Text) || strings.HasSuffix(whole, w.Text)) && !strings.HasPrefix(w.Text, "(") {
					t.Errorf("%s: %q is broken to %q", paper.Name, whole, w.Text)
				}
			}
			if strings.Contains(w.Text, "juice.pdf") {
				seen++
			}
		}
		if seen < 6 {
			t.Errorf("%s: the file is named whole %d times", paper.Name, seen)
		}
	}
}

// TestRemarksStandBelowTheirRows looks at what is known of each order.
func TestRemarksStandBelowTheirRows(t *testing.T) {
	c := example(3, 5, []string{"Apple juice", "Cider", "Perry"})
	c.Remarks = []string{"due 2026-03-02; part 1 of 2, the rest in run-003", "", "runs alone, as the customer wishes"}
	at := map[string]float64{}
	for _, w := range compose(c, A4).Texts {
		at[w.Text] = w.Box.Y
		if w.Text == "artwork/label.pdf" {
			break
		}
	}
	if a, b := at[c.Remarks[0]], at[c.Remarks[2]]; a == 0 || b <= a || b <= at["label.pdf, page 3"] {
		t.Errorf("remarks stand at %.1f and %.1f: %v", a, b, at)
	}
}
