package choose

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"quoin/geometry/trials"
)

// TestAnLPThatGoesOnEndsWhereOneBegunAnewDoes states LPs with other cuts, a rule more and
// fewer grades from the basis of one that is solved. Its columns print what is asked for
// and cost what the prices say, and in the end it is at the same value.
func TestAnLPThatGoesOnEndsWhereOneBegunAnewDoes(t *testing.T) {
	rng := rand.New(rand.NewPCG(30, 11))
	tried, taken := map[string]int{}, 0
	for trial := range trials.Number(t, "QUOIN_CLASSES", 40, 1000) {
		c := drawTiny(rng, 4+rng.IntN(5))
		p := c.problem()
		p.Mixes = mixesOfTwo()
		all := p.task(context.Background(), p.useful(), func(int) bool { return true })
		m := all.relax(nil, nil)
		m.solve(200, insideNew, 1, math.Inf(1), 1<<40)
		try := func(what string, k *task, cuts [][]cut) {
			tried[what]++
			s := succession{from: m, to: newMaster(k, m.needed(cuts))}
			if s.takeOver() {
				if taken++; what != "grades" { // of those that are left some stand for no run
					holds(t, s.to)
				}
			}
			x := m.next(k, cuts)
			y := k.relax(k.regraded(m.known(), all), x.cuts)
			for _, lp := range []*master{x, y} {
				lp.solve(200, insideNew, 1, math.Inf(1), 1<<40)
			}
			if v, want := x.value(), y.value(); math.Abs(v-want) > 1e-5*want {
				t.Errorf("case %d, %s: %.6f, begun anew %.6f", trial, what, v, want)
			}
		}
		cuts, _ := m.broken()
		try("cuts", all, cuts)
		try("fewer cuts", all, make([][]cut, len(all.id)))
		if rule, n, ok := m.fraction(); ok {
			few, many := *all, *all
			rule.most, rule.n = true, n
			few.counts = []count{rule}
			rule.most, rule.n = false, n+1
			many.counts = []count{rule}
			if n > 0 {
				try("few", &few, cuts)
			}
			try("many", &many, cuts)
		}
		bed := all.grades[rng.IntN(len(all.grades))].bed
		if one := all.some(func(g *grade) bool { return g.bed == bed }); one.whole() {
			try("grades", one, m.cuts)
		}
	}
	all := 0
	for _, what := range []string{"cuts", "fewer cuts", "few", "many", "grades"} {
		if all += tried[what]; tried[what] == 0 {
			t.Errorf("no LP with %s was tried", what)
		}
	}
	if taken*10 < all*9 {
		t.Errorf("%d of %d bases were taken over", taken, all)
	}
}

// holds holds the basis of an LP to its rows and its costs.
func holds(t *testing.T, m *master) {
	t.Helper()
	made, price := make([]float64, m.n), make([]float64, m.n)
	copy(price, m.price)
	for k := range m.col {
		clear(m.row)
		switch row := m.surplus[k]; {
		case row >= 0:
			m.row[row] = -1
		case m.col[k].grade == spared:
			t.Fatal("a column is neither a run nor a surplus")
		default:
			m.state(&m.col[k])
		}
		cost := 0.0
		for i, a := range m.row {
			made[i] += a * m.x[k]
			cost += a * price[i]
		}
		if math.Abs(cost-m.cost[k]) > 1e-6*(1+m.cost[k]) {
			t.Errorf("a column costs %.6f, the prices say %.6f", m.cost[k], cost)
		}
	}
	for i, v := range made {
		if more := v - m.needs[i]; more < -1e-7 || more > 1.2e-4 { // a little more is asked of orders
			t.Errorf("row %d makes %.6f of %.6f", i, v, m.needs[i])
		}
	}
}
