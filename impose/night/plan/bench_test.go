package plan

import (
	"testing"
	"time"

	"quoin/geometry/gang"
	"quoin/impose/night/intake"
	"quoin/impose/night/nighttest"
)

// BenchmarkThousandOrders plans a night of 1,000 orders over some 250 groups. It
// prints when the first plan is there and by how much it exceeds the bound, and
// the gap after ten seconds of search on two cores.
func BenchmarkThousandOrders(b *testing.B) {
	all := nighttest.ThousandOrders(b, 1)
	r := nighttest.Rules()
	r.Time = 10 * time.Second
	eight := 8 * mm
	r.House.TargetLane, r.House.Edge = &eight, nil
	r.House.Inks.Technical = []string{"Cutting"}
	for b.Loop() {
		began := time.Now()
		in, err := intake.Take(b.Context(), all, r)
		if err != nil {
			b.Fatal(err)
		}
		groups, err := groupUp(in.Orders, nil, r)
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
		b.ReportMetric(lay(&picked{groups: groups}, in, r).GapPercent, "first-gap-%")

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
	}
	b.ReportMetric(0, "ns/op")
}

// BenchmarkUnevenOrders plans the same for groups of very different sizes, up
// to some 150 orders, which are the harder ones to prove.
func BenchmarkUnevenOrders(b *testing.B) {
	all := nighttest.ThousandOrders(b, 3)
	r := nighttest.Rules()
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
