package gang

import (
	"context"
	"fmt"
	"math/rand/v2"
	"runtime"
	"testing"
	"time"
)

// report returns the gap, that of the worst plan, and the share of proofs over all
// plans of a benchmark.
type report struct{ cost, bound, worst, proved, plans, steps float64 }

func (r *report) count(p Plan, b Bounds) {
	r.cost += float64(p.Cost)
	r.bound += float64(b.Cost)
	r.worst = max(r.worst, b.GapPercent)
	r.steps += float64(b.Steps)
	r.plans++
	if b.Proved {
		r.proved++
	}
}

func (r *report) metrics(b *testing.B) {
	b.ReportMetric(100*(r.cost-r.bound)/r.bound, "gap_%")
	b.ReportMetric(r.worst, "worst_%")
	b.ReportMetric(100*r.proved/r.plans, "proved_%")
	b.ReportMetric(r.steps/r.plans/1e6, "Msteps/plan")
}

func benchSolve(b *testing.B, steps int64, problems ...Problem) {
	var r report
	for b.Loop() {
		for _, p := range problems {
			plan, bounds, err := Solve(context.Background(), p, Limits{Steps: steps, Seed: 1})
			if err != nil {
				b.Fatal(err)
			}
			r.count(plan, bounds)
		}
	}
	r.metrics(b)
}

func BenchmarkPublished(b *testing.B) {
	for _, tc := range published {
		b.Run(tc.name, func(b *testing.B) { benchSolve(b, StepsFor(10*time.Second), tc.p) })
	}
}

// BenchmarkSmall proves random cases of 13 orders on 8 lanes: the least length
// in up to four runs, and the least cost with set-ups of 64 frames.
func BenchmarkSmall(b *testing.B) {
	var length, cost []Problem
	for seed := range uint64(8) {
		rng := rand.New(rand.NewPCG(seed, 1))
		p := spread(rng, 5+rng.IntN(9), 8, 50)
		length = append(length, atMost(p, 4))
		cost = append(cost, atMost(priced(p, 1, 64), 4))
	}
	b.Run("length", func(b *testing.B) { benchSolve(b, StepsFor(10*time.Second), length...) })
	b.Run("cost", func(b *testing.B) { benchSolve(b, StepsFor(10*time.Second), cost...) })
}

// BenchmarkStations mixes orders over many stations, from few orders to as many
// as leave each little more than four stations.
func BenchmarkStations(b *testing.B) {
	for _, runs := range []int{2, 3} {
		for _, stations := range []int64{24, 42, 72} {
			for _, thirds := range []float64{1, 1.5, 2} {
				orders := int(thirds * float64(stations) / 3)
				var ps []Problem
				for seed := range uint64(8) {
					ps = append(ps, atMost(spread(rand.New(rand.NewPCG(seed, 1)), orders, stations, 50), runs))
				}
				limit := 3 * time.Second
				if runs == 3 {
					limit = time.Second
				}
				b.Run(fmt.Sprintf("runs=%d/stations=%d/orders=%d", runs, stations, orders), func(b *testing.B) {
					benchSolve(b, StepsFor(limit), ps...)
				})
			}
		}
	}
}

// BenchmarkNight plans 1000 orders in 250 groups.
func BenchmarkNight(b *testing.B) {
	ps := randomNight(1, 250, 1000)
	for _, d := range []time.Duration{0, time.Second, 10 * time.Second} {
		b.Run(d.String(), func(b *testing.B) {
			steps := max(1, StepsFor(d)*int64(min(2, runtime.GOMAXPROCS(0))))
			var r report
			for b.Loop() {
				for _, o := range SolveAll(context.Background(), ps, Limits{Steps: steps, Seed: 1}, nil) {
					if o.Err != nil {
						b.Fatal(o.Err)
					}
					r.count(o.Plan, o.Bounds)
				}
			}
			r.metrics(b)
		})
	}
}

// BenchmarkFirstPlan makes the first plan of 1000 orders in one group.
func BenchmarkFirstPlan(b *testing.B) {
	for _, lanes := range []int64{6, 72} {
		b.Run(fmt.Sprintf("lanes=%d", lanes), func(b *testing.B) {
			p := priced(spread(rand.New(rand.NewPCG(1, 1)), 1000, lanes, 50), 1, 64)
			for b.Loop() {
				if contiguous(newCore(&p)) == nil {
					b.Fatal("no plan")
				}
			}
		})
	}
}
