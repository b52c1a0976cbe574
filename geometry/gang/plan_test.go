package gang

import (
	"strings"
	"testing"
)

func TestCheckFindsEveryBrokenRule(t *testing.T) {
	p := Problem{
		Orders:   []Order{{Demand: 30, Most: 40, Width: 2}, {Demand: 20}, {Demand: 10, NoSplit: true}},
		Capacity: 6, LengthCost: 2, RunCost: 5, MaxRuns: 2, MaxOrders: 2, Step: 5, LeastLength: 10,
	}
	good := func() Plan {
		return Plan{
			Runs:   []Run{{Length: 15, Shares: []Share{{0, 2}, {1, 1}}}, {Length: 10, Shares: []Share{{1, 1}, {2, 1}}}},
			Length: 25, Cost: 60,
		}
	}
	for _, tc := range []struct {
		want  string
		spoil func(*Plan)
	}{
		{"at most 2 allowed", func(pl *Plan) { pl.Runs = append(pl.Runs, pl.Runs[0]) }},
		{"no multiple of 5", func(pl *Plan) { pl.Runs[0].Length = 16 }},
		{"under 10", func(pl *Plan) { pl.Runs[1].Length = 5 }},
		{"3 orders share it", func(pl *Plan) { pl.Runs[0].Shares = []Share{{0, 1}, {1, 1}, {2, 1}} }},
		{"names order 3 of 3", func(pl *Plan) { pl.Runs[0].Shares[0].Order = 3 }},
		{"has 0 lanes", func(pl *Plan) { pl.Runs[0].Shares[1].Lanes = 0 }},
		{"listed twice", func(pl *Plan) { pl.Runs[0].Shares[1].Order = 0 }},
		{"takes 7 of the capacity 6", func(pl *Plan) { pl.Runs[0].Shares[1].Lanes = 3 }},
		{"15 produced, 30 wanted", func(pl *Plan) { pl.Runs[0].Shares[0].Lanes = 1 }},
		{"45 produced, at most 40", func(pl *Plan) { pl.Runs[0].Shares = []Share{{0, 3}} }},
		{"length 30 stated", func(pl *Plan) { pl.Length = 30 }},
		{"cost 61 stated", func(pl *Plan) { pl.Cost = 61 }},
	} {
		pl := good()
		tc.spoil(&pl)
		if err := pl.Check(&p); err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("want %q, got %v", tc.want, err)
		}
	}
	pl := good()
	if err := pl.Check(&p); err != nil {
		t.Error(err)
	}
}

func TestCheckFindsASplitOrder(t *testing.T) {
	p := Problem{Orders: []Order{{Demand: 20, NoSplit: true}}, Capacity: 1, LengthCost: 1}
	run := Run{Length: 10, Shares: []Share{{0, 1}}}
	pl := Plan{Runs: []Run{run, run}, Length: 20, Cost: 20}
	if err := pl.Check(&p); err == nil || !strings.Contains(err.Error(), "split over 2 runs") {
		t.Error(err)
	}
}
