package build

import (
	"path/filepath"
	"testing"

	"quoin/geometry"
	"quoin/impose/night/folder"
	"quoin/impose/night/nighttest"
	"quoin/impose/night/report"
)

// BenchmarkWriteThousandOrders writes the PDFs of a night of 1,000 orders over
// some 250 groups, and prints the time that it takes.
func BenchmarkWriteThousandOrders(b *testing.B) {
	all := nighttest.ThousandOrders(b, 1)
	r := nighttest.Rules()
	eight := 8 * geometry.Millimetre
	r.House.TargetLane, r.House.Edge = &eight, nil
	r.House.Inks.Technical = []string{"Cutting"}
	p := made(b, all, r)
	b.ReportMetric(float64(len(p.Runs)), "runs")
	for b.Loop() {
		f, err := folder.Open(filepath.Join(b.TempDir(), "night"), "k")
		if err != nil {
			b.Fatal(err)
		}
		if err := Runs(b.Context(), f, p, r, nil); err != nil {
			b.Fatal(err)
		}
		if err := report.Write(f, p); err != nil {
			b.Fatal(err)
		}
		if err := f.Commit(); err != nil {
			b.Fatal(err)
		}
		f.Close()
		if len(p.Unplanned) > 0 {
			b.Fatalf("left out: %v", p.Unplanned[0])
		}
	}
}
