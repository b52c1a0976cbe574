package report

import (
	"slices"
	"strings"
	"testing"

	"quoin/impose/night/plan"
)

// TestNoLineEndsWithinAFlag: days, runs and flags stay whole on the page, and what a
// customer wrote stays text.
func TestNoLineEndsWithinAFlag(t *testing.T) {
	for text, want := range map[string]string{
		"column artwork; -n plans without": `column artwork; <span class="d">-n</span> plans without`,
		"(--anew-from takes it)":           `(<span class="d">--anew-from</span> takes it)`,
		"run-007 ends 2026-03-02 22:00":    `<span class="d">run-007</span> ends <span class="d">2026-03-02</span> 22:00`,
		"die-cut <b>--rolls whole</b>":     `die-cut &lt;b&gt;<span class="d">--rolls</span> whole&lt;/b&gt;`,
		"flat-bed, 3-4 mm, A-n":            "flat-bed, 3-4 mm, A-n",
	} {
		if got := string(words(text)); got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
}

// TestItemsOfARunAddUp: what is less than a twentieth of a run is said together.
func TestItemsOfARunAddUp(t *testing.T) {
	money := int64(10_000)
	p := &plan.Plan{MoneyUnit: 0.01, Currency: "EUR"}
	run := &plan.Run{Money: &money, Parts: []plan.Part{{Item: "web", Money: 9200}, {Item: "ink", Money: 300}, {Item: "rolls", Money: 500}, {Item: "overs", Money: 100}, {Item: "remainders", Money: -100}}}
	if got, want := paid(p, run), []string{"100.00 EUR", "web 92.00 EUR", "rolls 5.00 EUR", "remainders -1.00 EUR", "the rest 4.00 EUR"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	run.Parts = []plan.Part{{Item: "web", Money: 9900}, {Item: "ink", Money: 100}}
	if got, want := paid(p, run), []string{"100.00 EUR", "web 99.00 EUR", "ink 1.00 EUR"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestOrdersThatMoveTogetherAreOneLine: a night of new orders is told by its runs.
func TestOrdersThatMoveTogetherAreOneLine(t *testing.T) {
	money := int64(100)
	p := &plan.Plan{MoneyUnit: 0.01, Currency: "EUR", Replan: &plan.Replan{MadeAnew: 100, Orders: []plan.Moved{
		{Order: "A", Now: []string{"run-003"}}, {Order: "B", Was: []string{"run-001"}, Now: []string{"run-002", "run-003"}},
		{Order: "C", Now: []string{"run-003"}}, {Order: "D", Was: []string{"run-001"}}, {Order: "E", Was: []string{"run-001"}},
	}}}
	p.Total.Money = &money
	got := strings.Join(replanned(p)[1:], "\n")
	if want := "orders A, C are new, in run-003\norder B moves from run-001 to run-002 and run-003\norders D, E are in no run any more, they were in run-001"; got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
}
