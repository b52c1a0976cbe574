package report

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"quoin/geometry"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
	"quoin/impose/night/plan"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// TestReportIsOnePageForEveryone reads the page as a browser does, and holds it
// to what assistive technology needs: a language, captions, headers with their
// scope, lists that say what they are. Nothing comes from elsewhere.
func TestReportIsOnePageForEveryone(t *testing.T) {
	_, all, r := nighttest.Desk(t, nighttest.DeskOrders)
	r.Day = time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)
	limit := 10 * geometry.Percent
	r.Overs = &limit
	p := made(t, all, r)
	p.Runs[0].Warnings = []say.Note{{Code: "mixed-lane", Text: "several products share lane 6"}}
	p.LeaveOut([]night.Note{night.NoteOn("4", night.BadOrder, "orders.csv:5:2: quantity: is missing")})
	if err := p.Curves(t.Context()); err != nil {
		t.Fatal(err)
	}
	if err := p.Compared(t.Context(), all); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := HTML(&b, p); err != nil {
		t.Fatal(err)
	}
	page := b.String()
	for _, part := range []string{"Perry &lt;b&gt;", "What each rule costs", "Runs against metres", "Left out", "quantity: is missing", "share lane 6", "every order alone"} {
		if !strings.Contains(page, part) {
			t.Errorf("the page says nothing of %q", part)
		}
	}
	d := xml.NewDecoder(&b)
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	open, captions, tables := 0, 0, 0
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		open++
		has := map[string]string{}
		for _, a := range start.Attr {
			has[a.Name.Local] = a.Value
		}
		wants := map[string]string{"html": "lang", "th": "scope", "ol": "aria-label", "section": "aria-labelledby"}[start.Name.Local]
		if _, ok := has[wants]; wants != "" && !ok {
			t.Errorf("a <%s> has no %s", start.Name.Local, wants)
		}
		switch start.Name.Local {
		case "table":
			tables++
		case "caption":
			captions++
		case "script", "img", "link", "iframe":
			t.Errorf("the page has a <%s>", start.Name.Local)
		}
		if href := has["href"]; strings.Contains(href, ":") || has["src"] != "" {
			t.Errorf("the page points elsewhere: %s%s", href, has["src"])
		}
	}
	if tables < 6 || captions != tables {
		t.Errorf("%d tables, %d captions, %d elements", tables, captions, open)
	}
}

func TestLaneMap(t *testing.T) {
	run := plan.Run{Lanes: 3, Rows: 4, Orders: []plan.Share{{Order: "a", Stations: 6}, {Order: "b", Stations: 1}}}
	got := fmt.Sprint(lanes(nil, run))
	if want := "[{1 [a] [] 0} {2 [a b] [] 0} {3 [] [] 0}]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// TestLabelsAreSeenInRunsAndOrders: each order shows its own part of the picture that
// the labels of its run share, and each lane those that it carries.
func TestLabelsAreSeenInRunsAndOrders(t *testing.T) {
	run := plan.Run{
		Name: "run-001", Group: 1, Lanes: 3, Rows: 1, Files: []summary.File{{Role: "labels", Path: "run-001-labels.jpg"}},
		Orders: []plan.Share{{Order: "a", Product: "Plum", Stations: 1}, {Order: "b", Stations: 1}, {Order: "c", Stations: 1}},
	}
	p := &plan.Plan{Groups: []plan.GroupPart{{}}, Runs: []plan.Run{run}}
	page := func() string {
		var b bytes.Buffer
		if err := HTML(&b, p); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	with := page()
	for _, want := range []string{`alt="The label of Plum" style="object-position: 0.000% 0"`, `alt="The label of b" style="object-position: 50.000% 0"`, `alt="The label of c" style="object-position: 100.000% 0"`} {
		if strings.Count(with, want) != 1 {
			t.Errorf("%s isn't there once", want)
		}
	}
	if n := strings.Count(with, `src="run-001-labels.jpg" alt="" style="object-position: `); n != 3 {
		t.Errorf("%d pictures in lanes, want 3", n)
	}
	p.Runs[0].Files = nil
	if strings.Contains(page(), "<img") {
		t.Error("a picture that nobody drew")
	}
}

// TestTimelinesHaveNamesAndHours: a run over the end of a shift is two bars, the
// break between stands empty, and the scale has whole hours.
func TestTimelinesHaveNamesAndHours(t *testing.T) {
	money := int64(100)
	p := &plan.Plan{
		Currency: "EUR", MoneyUnit: 0.01, Total: plan.Total{Money: &money},
		Groups:  []plan.GroupPart{{Group: 1, LabelMM: [2]float64{50, 75}}},
		Presses: []plan.PressPart{{Press: "P", Runs: 1, Shifts: []plan.Shift{{From: "22:00", To: "02:00"}, {From: "02:30", To: "06:00"}}}},
		Printed: []plan.Run{{Name: "run-001", Press: "P", Group: 1, Start: "2026-03-01T22:00", End: "2026-03-02T01:00", Money: &money}},
		Runs:    []plan.Run{{Name: "run-002", Press: "P", Group: 1, Start: "2026-03-02T01:00", End: "2026-03-02T04:00", LateMin: 5, Money: &money}},
	}
	rows := timelines(p)[0].Nights
	if len(rows) != 1 || rows[0].Name != "Night of 2026-03-01" {
		t.Fatalf("%+v", rows)
	}
	// Six hours are 200 wide.
	want := []bar{{X: 0, Width: 100, Text: "run-001", Ready: true}, {X: 100, Width: 33.33, Text: "run-002", Late: true}, {X: 150, Width: 50, Text: "run-002", Late: true}}
	for i, b := range rows[0].Bars {
		if w := want[i]; b.X != w.X || b.Width != w.Width || b.Text != w.Text || b.Late != w.Late || b.Ready != w.Ready {
			t.Errorf("%+v, want %+v", b, w)
		}
	}
	if off := rows[0].Off; len(rows[0].Bars) != 3 || len(off) != 1 || off[0].X != 133.33 || off[0].Width != 16.67 {
		t.Errorf("%d bars, breaks %+v", len(rows[0].Bars), off)
	}
	if ticks := rows[0].Ticks; ticks[0] != (tick{0, "22:00"}) || ticks[2] != (tick{33.33, "23:00"}) {
		t.Errorf("%+v", ticks)
	}
}

// TestRunsOverABreakStandInBothNights: what begins before the shift ends and ends in
// the next is a bar at the end of one row and one at the beginning of the next, and
// both rows have the hours of a night, not those of a day.
func TestRunsOverABreakStandInBothNights(t *testing.T) {
	money := int64(100)
	p := &plan.Plan{
		Currency: "EUR", MoneyUnit: 0.01, Total: plan.Total{Money: &money},
		Groups:  []plan.GroupPart{{Group: 1, LabelMM: [2]float64{50, 75}}},
		Presses: []plan.PressPart{{Press: "P", Runs: 1, Shifts: []plan.Shift{{From: "22:00", To: "06:00"}}}},
		Runs: []plan.Run{
			{Name: "run-001", Press: "P", Group: 1, Start: "2026-03-01T22:00", End: "2026-03-02T04:00", Money: &money},
			{Name: "run-002", Press: "P", Group: 1, Start: "2026-03-02T04:00", End: "2026-03-02T23:00", Money: &money},
		},
	}
	rows := timelines(p)[0].Nights
	if len(rows) != 2 || rows[1].Name != "Night of 2026-03-02" || len(rows[0].Bars) != 2 || len(rows[1].Bars) != 1 {
		t.Fatalf("%+v", rows)
	}
	// Eight hours are 200 wide in both.
	if a, b := rows[0].Bars[1], rows[1].Bars[0]; a.X != 150 || a.Width != 50 || b.Run != "run-002" || b.X != 0 || b.Width != 25 {
		t.Errorf("%+v and %+v", a, b)
	}
	if len(rows[0].Off)+len(rows[1].Off) != 0 || rows[1].Ticks[1] != (tick{25, "23:00"}) {
		t.Errorf("breaks %+v, ticks %+v", rows[0].Off, rows[1].Ticks)
	}
}
