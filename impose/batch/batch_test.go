package batch_test

import (
	"bytes"
	"strings"
	"testing"

	"quoin/impose"
	"quoin/impose/batch"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/summary"
	"quoin/impose/witness/schemas"
)

// sample is the summary of the main job.
func sample(t *testing.T) *summary.Summary {
	t.Helper()
	j, err := job.Houses(nil).ReadJob("../../samples/job.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	im, err := impose.Open(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	s, err := im.Summary(impose.Written{Pages: 1, Files: []summary.File{{Role: "output", Path: "out.pdf", SHA256: strings.Repeat("0", 64)}}})
	if err != nil {
		t.Fatal(err)
	}
	s.Notes = append(s.Notes, say.Note{Code: "some", Text: "note"})
	return s
}

// TestReportKeepsItsSchema: what is written is what the schema says, and nothing
// that is spoilt passes.
func TestReportKeepsItsSchema(t *testing.T) {
	r := &batch.Report{Schema: batch.Schema}
	s := sample(t)
	r.Add("a.yaml", s, s.Files)
	r.Refuse("b.pdf", say.Refuse(say.Artwork, "way out", "is wrong"), 6)
	schemas.Keeps(t, schemas.File(t, "schema/batch.schema.json"), r, "press_min", "inputs/run/press_min", "inputs/[]/run/press_min")
}

// TestTotals adds up what was done and nothing else; minutes that one input doesn't
// know are not known of all.
func TestTotals(t *testing.T) {
	s := sample(t)
	untimed := *s
	untimed.Run.PressMin, untimed.Written = 0, nil
	r := &batch.Report{Schema: batch.Schema}
	r.Add("a", s, nil)
	r.Add("b", s, nil)
	r.Refuse("c", say.Refuse(say.NotFit, "", "too wide\nsecond line"), 5)
	if r.Labels != 2*s.Run.Labels || r.WebM != 2*s.Run.WebGrossM || r.PressMin != 2*s.Run.PressMin || r.Done != 2 || r.Refused != 1 {
		t.Errorf("%+v", r)
	}
	var b bytes.Buffer
	if err := r.Text(&b); err != nil || !strings.HasPrefix(b.String(), "3 inputs: 2 done, 1 refused; 204,048 labels, 2,858.3 m of web, ") ||
		!strings.Contains(b.String(), "c  REFUSED  too wide\n") {
		t.Errorf("%v\n%s", err, b.String())
	}
	for _, order := range [][]*summary.Summary{{s, &untimed, s}, {&untimed, s}} {
		r := &batch.Report{}
		for _, one := range order {
			r.Add("x", one, nil)
		}
		if r.PressMin != 0 || r.Inputs[len(order)-1].State != batch.Written {
			t.Errorf("%g minutes", r.PressMin)
		}
	}
}
