package vary_test

import (
	"context"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/ink"
	"quoin/impose/vary"
)

func changing(count, perRoll, each int64, fields ...vary.Field) func(t *testing.T) vary.Request {
	return func(t *testing.T) vary.Request {
		p := withArtwork(t, plan(t, count, textField()))
		p.PerRoll, p.ChangeOver = perRoll, &vary.ChangeOver{Labels: each, Fields: fields}
		return p
	}
}

func endField() vary.Field {
	return vary.Field{
		Name: "end", Value: "END {roll}/{rolls} L{lane} {first}-{last} NEXT {next}", At: geometry.Position{Across: 3 * mm, Around: 3 * mm}, Ink: ink.Black,
		Letters: &vary.Letters{Face: vary.Mono, Cap: mm, Width: 40 * mm},
	}
}

// Between the rolls stand labels that no record has: in the ledger, and on the
// page instead of the artwork. Every label keeps its number.
func TestChangeOverLabelsStandBetweenRolls(t *testing.T) {
	const count, perRoll = 100, 7
	r := prepare(t, changing(count, perRoll, 2, endField())(t))
	pdf, ledger := written(t, r)
	text := textOf(t, save(t, "run.pdf", pdf))
	changes, labels := 0, map[int64]bool{}
	for _, e := range entries(t, ledger) {
		switch e.state {
		case "change-over":
			changes++
			if e.record != 0 {
				t.Errorf("a change-over label has record %d", e.record)
			}
		case "printed":
			labels[e.record] = true
		}
	}
	if len(labels) != count || int64(changes) != r.Order.Changes() || changes == 0 {
		t.Errorf("%d labels and %d changes, want %d and %d", len(labels), changes, count, r.Order.Changes())
	}
	if n := strings.Count(text, "HL-"); n != count {
		t.Errorf("the pages have %d numbers of labels", n)
	}
	if n := strings.Count(text, "END "); n != changes {
		t.Errorf("the pages have %d change-over labels, and the ledger %d", n, changes)
	}
	// Lane 6 of the press is the last machine's lane 1: records 1 to 17 in rolls of
	// 7, 7 and 3, of which the last records are wound first.
	for _, want := range []string{"END 1/3 L6 11-17 NEXT 2", "END 2/3 L6 4-10 NEXT 3"} {
		if strings.Count(text, want) != 2 {
			t.Errorf("%q isn't there twice", want)
		}
	}
	report := r.Report(count, nil)
	if report.Changes != int64(changes) || report.ChangeM <= 0 {
		t.Errorf("the report says %d changes, %g m", report.Changes, report.ChangeM)
	}
}

func TestChangeOverLabelsThatCannotBeAreRefused(t *testing.T) {
	long := endField()
	long.Letters = &vary.Letters{Face: vary.Mono, Cap: 4 * mm, Width: 40 * mm}
	strange := endField()
	strange.Value = "{n}"
	for _, c := range []struct {
		name string
		plan func(t *testing.T) vary.Request
		want string
	}{
		{"a symbol", changing(50, 5, 1, qrField()), "is no text"},
		{"no rolls", changing(50, 0, 1, endField()), "how many labels a roll has"},
		{"none", changing(50, 5, 0, endField()), "0 labels stand"},
		{"too long", changing(50, 5, 1, long), "the room is 40 mm"},
		{"a column", changing(50, 5, 1, strange), "no value has that name"},
	} {
		if _, err := vary.Prepare(context.Background(), c.plan(t)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}
