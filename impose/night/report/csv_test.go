package report

import (
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"quoin/impose/night/plan"
)

// TestSpreadsheetsAddUp: what a run takes stands in the line of its first order only,
// so that a column adds up, and times are such as spreadsheets read.
func TestSpreadsheetsAddUp(t *testing.T) {
	money, part := int64(1234), int64(617)
	p := &plan.Plan{MoneyUnit: 0.01, Currency: "EUR", Groups: []plan.GroupPart{{Group: 1, Material: "film"}}}
	p.Total.Parts = []plan.Part{{Item: plan.ItemDieChange, Money: 1234}}
	p.Runs = []plan.Run{{
		Name: "run-001", Group: 1, Frames: 7, Press: "wide", Start: "2026-03-02T22:00", End: "2026-03-02T22:31", Money: &money, LateMin: 3,
		Parts:  []plan.Part{{Item: plan.ItemDieChange, Money: 1234}},
		Orders: []plan.Share{{Order: "A", Product: "Quince, sour", Money: &part}, {Order: "B", Money: &part}},
	}}
	var b strings.Builder
	if err := CSV(&b, p); err != nil {
		t.Fatal(err)
	}
	lines, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
	if err != nil || len(lines) != 3 {
		t.Fatalf("%d lines, %v", len(lines), err)
	}
	cell := func(line int, column string) string { return lines[line][slices.Index(lines[0], column)] }
	for column, want := range map[string][2]string{
		"start": {"2026-03-02 22:00", "2026-03-02 22:00"}, "end": {"2026-03-02 22:31", "2026-03-02 22:31"}, "frames": {"7", ""}, "late_min": {"3", ""},
		"run_money": {"12.34", ""}, "order_money": {"6.17", "6.17"}, "die_change_money": {"12.34", ""}, "product": {"Quince, sour", ""}, "material": {"film", "film"},
	} {
		if got := [2]string{cell(1, column), cell(2, column)}; got != want {
			t.Errorf("%s: %q, want %q", column, got, want)
		}
	}
}
