package impose

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/say"
)

// TestRisksAreWarnedOf: what costs money or a customer. Each lane of W1 gives
// 16,668 labels, 6 rolls of 2,500 and 1,668 over, so 36 of 40 are full. The run
// takes 1,402 m of web. One artwork that takes 2 of 6 lanes for half of its share
// gets as much again as it orders.
func TestRisksAreWarnedOf(t *testing.T) {
	j := w1(t, 2)
	j.Roll.Labels = 2500
	j.Press.Consumables[0].Life = 1402 * geometry.Metre
	s := summaryOf(t, j)
	if !warned(s, "rolls-not-full") || !warned(s, "wear-out") || warned(s, "overs") {
		t.Errorf("%v", s.Warnings)
	}
	yes := true
	j.Roll.Splices = &yes
	j.Press.Consumables[0].Life = 1403 * geometry.Metre
	s = summaryOf(t, j)
	if warned(s, "rolls-not-full") || warned(s, "wear-out") {
		t.Errorf("spliced, a longer life: %v", s.Warnings)
	}

	j.Roll = job.Roll{}
	one := j.Artworks[0]
	one.LaneCount, one.Quantity = 2, 16_668
	other := one
	other.LaneCount, other.Quantity = 4, 66_672
	j.Artworks = []job.Artwork{one, other}
	if s = summaryOf(t, j); !warned(s, "overs") || !strings.Contains(fmt.Sprint(s.Warnings), "product 1 gets 100 %") {
		t.Errorf("%v", s.Warnings)
	}
	share := geometry.Whole
	j.Run.Overs = &share
	j.Artworks = []job.Artwork{other}
	if s = summaryOf(t, j); warned(s, "overs") {
		t.Errorf("overs that were asked for: %v", s.Warnings)
	}
}

// TestTimeThatIsNotKnown is null in the JSON and no number in words.
func TestTimeThatIsNotKnown(t *testing.T) {
	s := summaryOf(t, jobFor(inkedLabel(t, 0)))
	var text strings.Builder
	if err := s.Text(&text); err != nil {
		t.Fatal(err)
	}
	if glance, _, _ := strings.Cut(text.String(), "\n"); !strings.Contains(glance, "time not known") {
		t.Errorf("%s", glance)
	}
	written, err := json.Marshal(s)
	if err != nil || !strings.Contains(string(written), `"press_min":null`) {
		t.Errorf("%v, %s", err, written)
	}
	if written, err = json.Marshal(summaryOf(t, w1(t, 2))); err != nil || !strings.Contains(string(written), `"splices_allowed":null`) {
		t.Errorf("nobody said that splices are allowed: %v, %s", err, written)
	}
}

// TestWarningsAreRanked: the most serious first, those alike as one.
func TestWarningsAreRanked(t *testing.T) {
	got := ranked([]say.Note{
		{Code: "centre-mark-room", Text: "no centre tick"}, {Code: "ink-technical-by-name", Text: `"Die" is taken for technical by its name`},
		{Code: "overs", Text: "too many"}, {Code: "ink-technical-by-name", Text: `"Kiss" is taken for technical by its name`},
		{Code: "slitting", Text: "no slit"}, {Code: "drug-label", Text: "a drug label"}, {Code: "ink-technical-by-name", Text: "another thing"},
	})
	want := []say.Note{
		{Code: "drug-label", Text: "a drug label"}, {Code: "slitting", Text: "no slit"}, {Code: "overs", Text: "too many"},
		{Code: "ink-technical-by-name", Text: `"Die", "Kiss" is taken for technical by its name`}, {Code: "ink-technical-by-name", Text: "another thing"},
		{Code: "centre-mark-room", Text: "no centre tick"},
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %v", got)
	}
}
