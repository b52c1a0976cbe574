package schedule

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"quoin/geometry/trials"
)

// path is the least cost of a sequence, by branch and bound: the travelling
// salesman's path from the beginning through all runs, closed at no cost. Its bound is
// the least arborescence with prices on the runs that are left more than once (M. Held,
// R. M. Karp, "The traveling-salesman problem and minimum spanning trees", Operations
// Research 18(6), 1970), found as by J. Edmonds, "Optimum branchings", Journal of
// Research of the National Bureau of Standards 71B, 1967. It shares nothing with the
// search.
type path struct {
	n     int // the beginning, 0, and the runs
	cost  [][]float64
	upper float64
	left  int // bounds that may still be looked for
	low   float64
}

const noArc = 1e12

// least returns a cost that no sequence undercuts, and whether it is that of one, where
// a sequence of upper is known.
func least(p *Problem, upper int64, bounds int) (float64, bool) {
	n := len(p.Ticks) + 1
	x := &path{n: n, upper: float64(upper), left: bounds, low: float64(upper)}
	x.cost = make([][]float64, n)
	for i := range n {
		x.cost[i] = make([]float64, n)
		for j := range n {
			x.cost[i][j] = noArc
			switch {
			case i == j:
			case j == 0:
				x.cost[i][j] = 0 // the path is over
			default:
				_, c := p.Change(i-1, j-1)
				x.cost[i][j] = float64(c)
			}
		}
	}
	x.branch(x.cost, make([]float64, n), 400)
	return x.low, x.left > 0
}

// branch settles the sequences that the arcs leave. What it has no bounds left for
// lowers low to its own.
func (x *path) branch(cost [][]float64, prices []float64, rounds int) {
	bound, arcs, prices := x.bound(cost, prices, rounds)
	if bound > x.upper-1 { // costs are whole
		return
	}
	if x.left--; x.left <= 0 {
		x.low = min(x.low, bound)
		return
	}
	leaves := make([]int, x.n)
	sum := 0.0
	for j, i := range arcs {
		leaves[i]++
		sum += cost[i][j]
	}
	most := 0
	for i, k := range leaves {
		if k > leaves[most] {
			most = i
		}
	}
	if leaves[most] == 1 { // a sequence
		x.upper, x.low = min(x.upper, sum), min(x.low, sum)
		return
	}
	// Of the arcs out of that run at most one is taken: each of the bound's in turn,
	// with those before it forbidden, and at last none of them.
	forbidden := clone(cost)
	for j := range x.n {
		if arcs[j] != most {
			continue
		}
		with := clone(forbidden)
		for k := range x.n {
			if k != j {
				with[most][k] = noArc
			}
			if k != most {
				with[k][j] = noArc
			}
		}
		if j > 0 {
			with[j][most] = noArc
		}
		x.branch(with, slices.Clone(prices), 60)
		forbidden[most][j] = noArc
	}
	x.branch(forbidden, slices.Clone(prices), 60)
}

func clone(cost [][]float64) [][]float64 {
	out := make([][]float64, len(cost))
	for i := range cost {
		out[i] = slices.Clone(cost[i])
	}
	return out
}

// bound raises the prices of what is left more than once, and lowers those of what is
// never left. It returns the arc into each, and the prices.
func (x *path) bound(cost [][]float64, prices []float64, rounds int) (best float64, arcs []int, at []float64) {
	best = -math.MaxFloat64
	step, still := 2.0, 0
	priced := clone(cost)
	for range rounds {
		value := 0.0
		for i := range x.n {
			for j := range x.n {
				priced[i][j] = cost[i][j] + prices[i]
			}
			value -= prices[i]
		}
		into := arborescence(priced)
		into[0] = 1
		for i := 2; i < x.n; i++ {
			if priced[i][0] < priced[into[0]][0] {
				into[0] = i
			}
		}
		leaves := make([]int, x.n)
		for j, i := range into {
			value += priced[i][j]
			leaves[i]++
		}
		if value > best+1e-9 {
			best, arcs, at, still = value, into, slices.Clone(prices), 0
		} else if still++; still > 12 {
			step, still = step/2, 0
		}
		if best > x.upper-1 || best >= noArc/2 {
			break
		}
		norm := 0
		for i := range x.n {
			d := leaves[i] - 1
			norm += d * d
		}
		if norm == 0 {
			break
		}
		by := step * max(x.upper-value, 1) / float64(norm)
		for i := range x.n {
			prices[i] += by * float64(leaves[i]-1)
		}
	}
	return best, arcs, at
}

// arborescence returns the arc into each node but 0 of the tree from 0 that costs
// least.
func arborescence(cost [][]float64) []int {
	n := len(cost)
	into := make([]int, n)
	for j := 1; j < n; j++ {
		into[j] = 0
		for i := range n {
			if i != j && cost[i][j] < cost[into[j]][j] || into[j] == j {
				into[j] = i
			}
		}
	}
	cycle := cycleOf(into)
	if cycle == nil {
		return into
	}
	in := make([]bool, n)
	for _, v := range cycle {
		in[v] = true
	}
	// The cycle becomes one node, the last.
	var nodes []int
	for v := range n {
		if !in[v] {
			nodes = append(nodes, v)
		}
	}
	m := len(nodes)
	small := make([][]float64, m+1)
	enter, leave := make([]int, m), make([]int, m)
	for a := range small {
		small[a] = slices.Repeat([]float64{noArc}, m+1)
	}
	for a, u := range nodes {
		for b, v := range nodes {
			if a != b {
				small[a][b] = cost[u][v]
			}
		}
		best := math.Inf(1)
		for _, v := range cycle {
			if c := cost[u][v] - cost[into[v]][v]; c < best {
				best, enter[a] = c, v
			}
		}
		small[a][m] = best
		best = math.Inf(1)
		for _, v := range cycle {
			if cost[v][u] < best {
				best, leave[a] = cost[v][u], v
			}
		}
		if u > 0 {
			small[m][a] = best
		}
	}
	sub := arborescence(small)
	for b := 1; b < m; b++ {
		if sub[b] == m {
			into[nodes[b]] = leave[b]
		} else {
			into[nodes[b]] = nodes[sub[b]]
		}
	}
	from := sub[m]
	into[enter[from]] = nodes[from]
	return into
}

// cycleOf returns a cycle among arcs into nodes; nil where there is none.
func cycleOf(into []int) []int {
	seen := make([]int, len(into))
	for start := 1; start < len(into); start++ {
		v := start
		for v != 0 && seen[v] == 0 {
			seen[v] = start
			v = into[v]
		}
		if v != 0 && seen[v] == start {
			cycle := []int{v}
			for u := into[v]; u != v; u = into[u] {
				cycle = append(cycle, u)
			}
			return cycle
		}
	}
	return nil
}

// TestLeastIsTheLeast holds the exact path to all orders of few runs.
func TestLeastIsTheLeast(t *testing.T) {
	for seed := range 40 {
		p := draw(rand.New(rand.NewPCG(uint64(seed), 4)), 2+seed%6, false)
		want := permuted(p).Cost
		if got, settled := least(p, want+500, 10_000); !settled || got != float64(want) {
			t.Errorf("case %d: %g, settled %v, the least is %d", seed, got, settled, want)
		}
	}
}

// TestThirtyRunsBesideTheLeast publishes how far the search is from the exact order of
// 30 runs, or from what none undercuts: a sample, 50 cases in the long pass.
func TestThirtyRunsBesideTheLeast(t *testing.T) {
	cases, bounds := trials.Number(t, "QUOIN_SEQUENCES", 4, 50), trials.Number(t, "", 60, 3000)
	if testing.Short() {
		cases = 1
	}
	settled, worst, sum := 0, 0.0, 0.0
	for seed := range cases {
		p := draw(rand.New(rand.NewPCG(uint64(seed), 3)), 30, false)
		got := Solve(p, 2_000_000, 1)
		check(t, p, got)
		low, exact := least(p, got.Cost, bounds)
		if exact {
			settled++
		}
		over := float64(got.Cost)/low - 1
		worst, sum = max(worst, over), sum+over
		if over > 0.03 {
			t.Errorf("case %d: %d is %.2f %% above %.0f, which none undercuts", seed, got.Cost, 100*over, low)
		}
	}
	t.Logf("%d cases of 30 runs, %d settled: %+.2f %% on average, %+.2f %% at worst", cases, settled, 100*sum/float64(cases), 100*worst)
}
