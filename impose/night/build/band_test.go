package build

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/night/nighttest"
	"quoin/impose/night/plan"
	"quoin/impose/night/report"
	"quoin/impose/summary"
	"quoin/impose/witness"
)

// TestBandIsImposed builds a night of labels of two widths and a lone one, proves
// its PDFs, and finds each order's lanes as wide as its label.
func TestBandIsImposed(t *testing.T) {
	dir, _, r := nighttest.Desk(t, nighttest.DeskOrders)
	csv := "order,quantity,label,artwork\n"
	for i, across := range []int{40, 55, 80} {
		art, err := os.ReadFile(witness.PlainLabel(t, float64(across), 60, "0 1 0 0"))
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprint(across, ".pdf")
		if err := os.WriteFile(filepath.Join(dir, name), art, 0o666); err != nil {
			t.Fatal(err)
		}
		csv += fmt.Sprintf("%d,%d,%dx60mm,%s\n", across, []int{900, 800, 450}[i], across, filepath.Join(dir, name))
	}
	r.Widths, r.Verify = true, true
	r.House.Turns = []geometry.Turn{geometry.Turn0}
	f := nighttest.Folder(t, filepath.Join(dir, "night"))
	p, err := plan.Make(t.Context(), nighttest.Orders(t, csv), r, f)
	if err != nil {
		t.Fatal(err)
	}
	// A second start takes the search over, and comes to the same.
	again, err := plan.Make(t.Context(), nighttest.Orders(t, csv), r, f)
	if err != nil || text(t, again) != text(t, p) {
		t.Errorf("the second start says otherwise (%v):\n%s", err, text(t, again))
	}
	if err := Runs(t.Context(), f, p, r, nil); err != nil {
		t.Fatal(err)
	}
	if err := report.Write(f, p); err != nil {
		t.Fatal(err)
	}
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}
	if len(p.Unplanned) > 0 || len(p.Runs) != 1 {
		t.Fatalf("%d runs, left out %v", len(p.Runs), p.Unplanned)
	}
	run := p.Runs[0]
	data, err := os.ReadFile(filepath.Join(dir, "night", summaryOf(&run)))
	if err != nil {
		t.Fatal(err)
	}
	var s summary.Summary
	if err := json.Unmarshal(data, &s); err != nil {
		t.Fatal(err)
	}
	if s.Run.Frames != run.Frames || s.Layout.Across != run.Lanes || s.Layout.RepeatMM != run.RepeatMM || !s.Layout.LanesDiffer {
		t.Errorf("the summary has %d frames of %d lanes, the plan %d of %d", s.Run.Frames, s.Layout.Across, run.Frames, run.Lanes)
	}
	for i, a := range s.Artworks {
		share := run.Orders[i]
		if len(a.Lanes) != int(share.Lanes) || a.Labels != share.Labels || *a.LabelMM != *share.LabelMM {
			t.Errorf("%+v in the summary, %+v in the plan", a, share)
		}
		for _, lane := range a.Lanes {
			if l := s.Lanes[lane-1]; fmt.Sprintf("%.6f", l.RightMM-l.LeftMM) != fmt.Sprintf("%s.000000", share.Order) {
				t.Errorf("lane %d is %g geometry.Millimetre wide, the label %s", lane, l.RightMM-l.LeftMM, share.Order)
			}
		}
	}
	report, err := os.ReadFile(filepath.Join(dir, "night", "report.html"))
	if err != nil || !strings.Contains(string(report), `<li style="flex: 80"><b>Lane`) {
		t.Errorf("the report draws no lane of 80 mm: %v", err)
	}
}
