package sheet

import (
	"slices"
	"strings"
	"testing"

	"quoin/impose/summary"
)

// mixedExample is a job of three lanes whose last carries B, C and a blank.
func mixedExample() *Content {
	c := example(3, 5, []string{"Apple juice", "Cider", "Perry"})
	c.Lanes[2].Artwork, c.Lanes[2].Artworks = 0, []int{2, 3}
	for i := range c.Stations {
		if s := &c.Stations[i]; s.Lane == 3 {
			s.Artwork = []int{2, 2, 2, 2, 3, 3, 3, 3, 3, 3, 3, 0}[i%12]
		}
	}
	c.Rolls[1].Mixed = []int{3}
	c.Rolls[2] = summary.Roll{Artwork: 3, LabelsPerRoll: 2500, Mixed: []int{3}}
	return c
}

// TestMixedLanesSayTheirSequence: the picture shows each product of a lane, the
// sequence stands in words, and rolls are counted of whole lanes only.
func TestMixedLanesSayTheirSequence(t *testing.T) {
	c := mixedExample()
	if got := strings.ReplaceAll(sequence(c, 3), "\u00a0", " "); got != "rows 1–4 B, 5–11 C, 12 blank" {
		t.Error(got)
	}
	for artwork, want := range map[int][2]string{1: {"6", "1"}, 2: {"6 + –", "–"}, 3: {"–", "–"}} {
		if full, parts := rollsOf(c, c.Artworks[artwork-1]); full != want[0] || parts != want[1] {
			t.Errorf("product %d: %q full, %q part rolls, want %q", artwork, full, parts, want)
		}
	}
	d := compose(c, A4)
	check(t, d, A4)
	var texts []string
	for _, w := range d.Texts {
		texts = append(texts, w.Text)
	}
	all := strings.Join(texts, " ")
	if !strings.Contains(all, "LANES THAT CARRY SEVERAL PRODUCTS") || !strings.Contains(all, "must be sorted") || !strings.Contains(all, "several, see") {
		t.Error(all)
	}
	// In the picture, which comes before the lanes' numbers, C has a box of its own.
	if at := slices.Index(texts, "C"); at < 0 || at > slices.Index(texts, "TRAVEL")+6 {
		t.Errorf("the picture doesn't show C: %q", texts[:20])
	}
}

// TestWholeLanesSayNoSequence: nothing is added where no lane is mixed.
func TestWholeLanesSayNoSequence(t *testing.T) {
	if got := mixed(example(3, 5, worldly)); got != nil {
		t.Errorf("whole lanes have a sequence: %v", got)
	}
}
