package plan

import (
	"testing"

	"quoin/impose/job"
	"quoin/impose/night/nighttest"
)

// TestRunBorrowsNoMaterial: a run on another material than the house's has
// neither its name nor its caliper; one on the house's own, or on what the
// order doesn't say, keeps both.
func TestRunBorrowsNoMaterial(t *testing.T) {
	r := nighttest.Rules()
	r.House.Material = job.Material{Name: "white film, permanent adhesive", Kind: "film", Caliper: 150_000}
	p := made(t, nighttest.Orders(t, "order,quantity,material\nA,900,film\nB,900,paper\nC,900,\n"), r)
	for _, id := range []string{"A", "B", "C"} {
		want := r.House.Material
		if id == "B" {
			want = job.Material{Kind: "paper"}
		}
		for _, n := range runsOf(p, id) {
			if got := p.Job(&p.Runs[n-1]).Material; got != want {
				t.Errorf("order %s runs on %+v, want %+v", id, got, want)
			}
		}
	}
}
