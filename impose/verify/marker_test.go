package verify_test

import (
	"testing"

	"quoin/impose/conform"
	"quoin/impose/verify"
)

// TestLostMarkerBreaksTheSummarysWord: where the summary says PDF/X-4, a file
// without metadata is at fault, though it no longer claims anything itself.
func TestLostMarkerBreaksTheSummarysWord(t *testing.T) {
	claimed := 0
	for name, b := range bases(t) {
		plan, err := verify.ReadExpected(b.summary)
		if err != nil {
			t.Fatal(err)
		}
		f := opened(t, b.pdf)
		whole, err := conform.File(t.Context(), f.save())
		if err != nil {
			t.Fatal(err)
		}
		if wrong := whole.Against(plan.Marker()); len(wrong) > 0 {
			t.Errorf("%s: got %+v of a whole file", name, wrong)
		}
		delete(f.root(), "Metadata")
		lost, err := conform.File(t.Context(), f.save())
		if err != nil {
			t.Fatal(err)
		}
		if wrong := lost.Against(plan.Marker()); len(wrong) == 0 == (plan.Marker() != "") {
			t.Errorf("%s, which the summary calls %q: got %+v once its metadata is lost", name, plan.Marker(), wrong)
		}
		if plan.Marker() != "" {
			claimed++
		}
	}
	if claimed == 0 {
		t.Error("no summary claims anything")
	}
}
