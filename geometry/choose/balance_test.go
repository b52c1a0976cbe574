package choose

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"

	"quoin/geometry/trials"
)

// TestBalancedLengthsAgainstAnotherSolver holds the lengths of linked runs to the LP as
// gonum's primal simplex method solves it.
func TestBalancedLengthsAgainstAnotherSolver(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 18))
	long := 0
	for trial := range trials.Number(t, "QUOIN_BALANCE", 300, 20_000) {
		var b balance
		b.begin()
		n := 2 + rng.IntN(mostLinked-1)
		for range n {
			b.run(1 + rng.Int64N(60))
		}
		orders := 1 + rng.IntN(2*n)
		for i := range orders {
			b.order(i, 1+rng.Int64N(400))
			c := &b.rows[i]
			for _, k := range rng.Perm(n)[:1+rng.IntN(min(n, 3))] {
				c.at, c.lanes = append(c.at, int8(k)), append(c.lanes, float64(1+rng.IntN(4)))
			}
		}
		if !b.solve() {
			t.Fatalf("case %d: no lengths", trial)
		}
		got := 0.0
		for k := range n {
			got += b.length(k)
			if b.length(k) < b.low[k]-1e-5 {
				t.Errorf("case %d: run %d is %.4f long, %.0f at least", trial, k, b.length(k), b.low[k])
			}
		}
		for i := range b.rows {
			made := 0.0
			for x, k := range b.rows[i].at {
				made += b.rows[i].lanes[x] * b.length(int(k))
			}
			if made < b.rows[i].need-1e-5 {
				t.Errorf("case %d: %.4f made of order %d, %.0f needed", trial, made, i, b.rows[i].need)
			}
		}
		if got > sumOf(b.low[:n])+1e-6 {
			long++
		}
		if want := leastLengths(t, &b); math.Abs(got-want) > 1e-5*want {
			t.Errorf("case %d: %.5f, another solver says %.5f", trial, got, want)
		}
	}
	if long == 0 {
		t.Error("no case whose runs are longer than they must be alone")
	}
}

func sumOf(list []float64) (sum float64) {
	for _, v := range list {
		sum += v
	}
	return sum
}

// leastLengths solves the LP with what each row has more than it needs as further
// variables.
func leastLengths(t *testing.T, b *balance) float64 {
	t.Helper()
	rows, n := b.n+len(b.rows), b.n
	a := mat.NewDense(rows, n+rows, nil)
	need, cost := make([]float64, rows), make([]float64, n+rows)
	for k := range n {
		cost[k], need[k] = 1, b.low[k]
		a.Set(k, k, 1)
	}
	for i := range b.rows {
		need[n+i] = b.rows[i].need
		for x, k := range b.rows[i].at {
			a.Set(n+i, int(k), b.rows[i].lanes[x])
		}
	}
	for r := range rows {
		a.Set(r, n+r, -1)
	}
	v, _, err := lp.Simplex(cost, a, need, 1e-9, nil)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
