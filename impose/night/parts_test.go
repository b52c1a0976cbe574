package night

import (
	"bytes"
	"strings"
	"testing"

	"quoin/impose"
	"quoin/impose/say"
)

// TestPartsOfAnOrderKnowEachOther: plan, report and sheet say which part of a
// split order a run holds, where the rest is, and how much was ordered.
func TestPartsOfAnOrderKnowEachOther(t *testing.T) {
	_, all, r := desk(t, "order,quantity,artwork,due,priority,flags\nA,24000,juice.pdf,2026-03-04,7,\nB,9000,cider.pdf,,,\nC,6500,perry.pdf,,,\n"+
		"D,3000,perry.pdf,,,\nE,1100,juice.pdf,,,alone\n")
	p := plan(t, all, r)
	split, alone := 0, 0
	for i := range p.Runs {
		run := &p.Runs[i]
		im, err := impose.Open(t.Context(), p.Job(run))
		if err != nil {
			t.Fatal(err)
		}
		defer im.Close()
		summary, err := im.Summary(impose.Written{})
		if err != nil {
			t.Fatal(err)
		}
		c := p.content(run, im, summary)
		if len(c.Remarks) != len(run.Orders) {
			t.Fatalf("%s: %d remarks on %d orders", run.Name, len(c.Remarks), len(run.Orders))
		}
		for k, s := range run.Orders {
			said := c.Remarks[k]
			if s.Order == "A" && (!strings.Contains(said, "due 2026-03-04") || !strings.Contains(said, "priority 7")) {
				t.Errorf("the sheet says of A: %q", said)
			}
			if s.Order == "E" {
				alone++
				if !strings.Contains(said, "alone, as the customer wishes") {
					t.Errorf("the sheet says of E: %q", said)
				}
			}
			if !s.Split {
				continue
			}
			split++
			if s.Parts != len(s.OtherRuns)+1 || s.Part < 1 || s.Part > s.Parts || !strings.Contains(said, "the rest in "+s.OtherRuns[0]) ||
				!strings.Contains(said, say.Number(s.OrderQuantity)+" labels ordered in all") {
				t.Errorf("%s of %s: %+v, the sheet says %q", s.Order, run.Name, s, said)
			}
			var page bytes.Buffer
			if err := p.HTML(&page); err != nil || !strings.Contains(page.String(), s.Remark()) || !strings.Contains(text(t, p), s.rest()) {
				t.Errorf("the reports don't say %q (%v)", s.rest(), err)
			}
		}
	}
	if split == 0 || alone == 0 {
		t.Errorf("%d parts, %d alone", split, alone)
	}
	s := Share{Part: 2, Parts: 3, OtherRuns: []string{"run-001", "run-004"}}
	if got := s.rest(); got != "part 2 of 3, the rest in run-001 and run-004" {
		t.Error(got)
	}
}
