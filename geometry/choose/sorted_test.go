package choose

import (
	"math"
	"math/rand/v2"
	"testing"

	"quoin/geometry/trials"
)

// sortedMaster draws prices for a few orders on one grade whose shared lanes cost more.
func sortedMaster(rng *rand.Rand) *master {
	rows := int64(1 + rng.IntN(4))
	t := &task{grades: []grade{{capacity: rows * int64(1+rng.IntN(4)), a: 10, b: float64(rng.IntN(200)), least: 1, rows: rows, sort: 3 * rng.Float64()}}, need: [][]int64{nil}, ctx: nil}
	for i := range 1 + rng.IntN(4) {
		t.id, t.need[0] = append(t.id, i), append(t.need[0], int64(1+rng.IntN(40)))
		if t.copies = append(t.copies, 1); rng.IntN(4) == 0 {
			t.copies[i] = 2
		}
	}
	m := t.relax(nil, nil)
	for i := range m.sep {
		m.sep[i] = 120 * rng.Float64() * rng.Float64()
	}
	return m
}

// mostWorth tries every number of lanes for each order.
func mostWorth(m *master, g *grade, r int64) float64 {
	var items []*item
	for x := range m.items {
		for range m.items[x].copies {
			items = append(items, &m.items[x])
		}
	}
	best := 0.0
	var give func(k int, room int64, worth float64)
	give = func(k int, room int64, worth float64) {
		if best = math.Max(best, worth); k == len(items) {
			return
		}
		for n := int64(0); n <= room; n++ {
			v := 0.0
			if n > 0 {
				v = items[k].worth(n*r) - g.sorting(n, r)
			}
			give(k+1, room-n, worth+v)
		}
	}
	give(0, g.capacity, 0)
	return best
}

// TestSortedRunsAgainstAll holds the run that is worth most, where shared lanes cost more,
// to all of them; and what is known without it is no less.
func TestSortedRunsAgainstAll(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 18))
	for trial := range trials.Number(t, "", 400, 8000) {
		m := sortedMaster(rng)
		g, r := &m.t.grades[0], int64(1+rng.IntN(40))
		m.list(0)
		want := mostWorth(m, g, r)
		if got := m.sorted.fill(m, g, r, r, 0); math.Abs(got-want) > 1e-6 {
			t.Fatalf("case %d: %.6f, all runs say %.6f", trial, got, want)
		}
		sum, lanes := 0.0, int64(0)
		for _, p := range m.picks {
			for x := range m.items {
				if it := &m.items[x]; it.at == p.at {
					sum += it.worth(int64(p.lanes)*r) - g.sorting(int64(p.lanes), r)
				}
			}
			lanes += int64(p.lanes)
		}
		if math.Abs(sum-want) > 1e-6 || lanes > g.capacity {
			t.Fatalf("case %d: %d lanes of %d are worth %.6f, not %.6f", trial, lanes, g.capacity, sum, want)
		}
		enough := want * (0.8 + 0.4*rng.Float64())
		if got := m.sorted.fill(m, g, r, r, enough); got < want-1e-6 || want > enough && got > want+1e-6 {
			t.Fatalf("case %d: with %.6f enough %.6f, all runs say %.6f", trial, enough, got, want)
		}
	}
}

// TestNoSortedRunIsWorthMoreThanTheWorst tries every length for what a run is worth for
// its cost.
func TestNoSortedRunIsWorthMoreThanTheWorst(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 18))
	for trial := range trials.Number(t, "", 150, 3000) {
		m := sortedMaster(rng)
		got := m.worst(0, math.Inf(1), false)
		m.list(0)
		g := &m.t.grades[0]
		for r := g.least; r <= 45; r++ {
			if v := mostWorth(m, g, r) / (g.a*float64(r) + g.b); v > got*(1+nearRatio)+1e-9 {
				t.Fatalf("case %d: a run of %d is worth %.6f of its cost, %.6f is the worst", trial, r, v, got)
			}
		}
	}
}
