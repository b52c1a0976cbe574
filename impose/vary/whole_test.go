package vary_test

import (
	"strings"
	"testing"

	"quoin/impose/data"
	"quoin/impose/say"
	"quoin/impose/vary"
)

// Counted records without a counter have no values at all, and their labels
// still carry their fields.
func TestConstantFieldsArePrinted(t *testing.T) {
	p := plan(t, 20, textField())
	var err error
	if p.Records, err = data.Open(data.Definition{Count: 20}); err != nil {
		t.Fatal(err)
	}
	p.Fields[0].Value = "LOT-7"
	r := prepare(t, p)
	pdf, _ := written(t, r)
	if n := strings.Count(textOf(t, save(t, "run.pdf", pdf)), "LOT-7"); n != 20 {
		t.Errorf("%d labels of 20 say what they should", n)
	}
	want := say.Note{Code: vary.CodeFixed, Text: `field number names no column and no counter: every label says "LOT-7"`}
	if len(r.Warnings) == 0 || r.Warnings[0] != want {
		t.Errorf("%v, want %v", r.Warnings, want)
	}
}
