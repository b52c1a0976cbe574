package night

import (
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"quoin/geometry/gang"
	"quoin/impose/job"
	"quoin/impose/night/folder"
)

// thousandOrders draws a night of 1,000 orders over some 250 groups: 250
// materials, quantities from 200 to 50,000 spread evenly over their logarithms,
// in hundreds. The greater skew is, the more orders share the first materials;
// with 1 all have about as many.
func thousandOrders(tb testing.TB, skew float64) []job.Order {
	rng := rand.New(rand.NewPCG(2026, 3))
	var b strings.Builder
	b.WriteString("order,quantity,artwork,material,inks\n")
	for i := range 1000 {
		quantity := 100 * int(2*math.Exp(rng.Float64()*math.Log(250)))
		fmt.Fprintf(&b, "%06d,%d,artwork/orchard-%s.pdf,stock %03d,\"C,M,Y,K,Quince Gold\"\n",
			i, quantity, []string{"juice", "cider", "perry"}[i%3], int(250*math.Pow(rng.Float64(), skew)))
	}
	all, err := job.ParseOrders(filepath.FromSlash("../../samples/orders.csv"), []byte(b.String()))
	if err != nil {
		tb.Fatal(err)
	}
	return all
}

// BenchmarkThousandOrders plans a night of 1,000 orders over some 250 groups
// and writes its PDFs. It prints when the first plan is there and by how much
// it exceeds the bound, the gap after ten seconds of search on two cores, and
// the time that writing takes.
func BenchmarkThousandOrders(b *testing.B) {
	all := thousandOrders(b, 1)
	r := rules()
	r.Time = 10 * time.Second
	eight := 8 * mm
	r.House.TargetLane, r.House.Edge = &eight, nil
	r.House.Inks.Technical = []string{"Cutting"}
	for b.Loop() {
		began := time.Now()
		in, err := take(b.Context(), all, r)
		if err != nil {
			b.Fatal(err)
		}
		groups, err := groupUp(in.orders, r)
		if err != nil {
			b.Fatal(err)
		}
		var problems []gang.Problem
		for _, g := range groups {
			p, _ := g.problem(r)
			problems = append(problems, p)
		}
		first := gang.SolveAll(b.Context(), problems, gang.Limits{Steps: 1, Seed: r.Seed}, nil)
		b.ReportMetric(1000*time.Since(began).Seconds(), "first-plan-ms")
		for i := range groups {
			groups[i].plan, groups[i].bounds = first[i].Plan, first[i].Bounds
		}
		b.ReportMetric(lay(groups, in, r).GapPercent, "first-gap-%")

		began = time.Now()
		r.PlanOnly = true
		p, err := Make(b.Context(), all, r, nil)
		if err != nil {
			b.Fatal(err)
		}
		checkPlan(b, p, all)
		b.ReportMetric(time.Since(began).Seconds(), "search-s")
		b.ReportMetric(p.GapPercent, "gap-%")
		b.ReportMetric(float64(len(p.Groups)), "groups")
		b.ReportMetric(float64(len(p.Runs)), "runs")

		began = time.Now()
		f, err := folder.Open(filepath.Join(b.TempDir(), "night"), "k")
		if err != nil {
			b.Fatal(err)
		}
		if err := p.Build(b.Context(), f); err != nil {
			b.Fatal(err)
		}
		if err := p.Report(f); err != nil {
			b.Fatal(err)
		}
		if err := f.Commit(); err != nil {
			b.Fatal(err)
		}
		f.Close()
		if len(p.Unplanned) > 0 {
			b.Fatalf("left out: %v", p.Unplanned[0])
		}
		b.ReportMetric(time.Since(began).Seconds(), "write-s")
	}
	b.ReportMetric(0, "ns/op")
}

// BenchmarkUnevenOrders plans the same for groups of very different sizes, up
// to some 150 orders, which are the harder ones to prove.
func BenchmarkUnevenOrders(b *testing.B) {
	all := thousandOrders(b, 3)
	r := rules()
	r.Time = 10 * time.Second
	for b.Loop() {
		began := time.Now()
		p, err := Make(b.Context(), all, r, nil)
		if err != nil {
			b.Fatal(err)
		}
		checkPlan(b, p, all)
		b.ReportMetric(time.Since(began).Seconds(), "search-s")
		b.ReportMetric(p.GapPercent, "gap-%")
		b.ReportMetric(float64(len(p.Groups)), "groups")
		b.ReportMetric(float64(len(p.Runs)), "runs")
	}
	b.ReportMetric(0, "ns/op")
}
