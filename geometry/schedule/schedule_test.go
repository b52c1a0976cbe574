package schedule

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/geometry/trials"
	"quoin/impose/witness"
)

// draw makes runs as a night has them: a few materials in a few widths, dies and
// ink sets. Tight due times can't all be met.
func draw(rng *rand.Rand, n int, due bool) *Problem {
	type kind struct{ material, width, die, inks int }
	kinds := make([]kind, n)
	p := &Problem{Begin: 100}
	weights := make([]int64, n)
	total := int64(0)
	for i := range kinds {
		kinds[i] = kind{rng.IntN(5), rng.IntN(3), rng.IntN(8), rng.IntN(64)}
		p.Ticks = append(p.Ticks, 200+rng.Int64N(3000))
		total += p.Ticks[i] + 600
		weights[i] = 1 << rng.IntN(3)
	}
	for i := range kinds {
		var dues []Due
		if due && rng.IntN(3) > 0 {
			dues = append(dues, Due{rng.Int64N(total), weights[i]})
			if weights[i] == 4 { // some of its orders are due later
				dues = append(dues, Due{dues[0].At + rng.Int64N(total), 1})
			}
		}
		p.Dues = append(p.Dues, dues)
	}
	p.Change = func(from, to int) (ticks, cost int64) {
		if from < 0 {
			return 0, 0
		}
		a, b := kinds[from], kinds[to]
		switch {
		case a.material != b.material:
			ticks, cost = 480, 2400
		case a.width != b.width:
			ticks, cost = 300, 1500
		}
		for k := range 6 {
			if b.inks>>k&1 == 1 && a.inks>>k&1 == 0 {
				ticks, cost = ticks+180, cost+900
			}
		}
		if a.die != b.die {
			cost += 1800 // at the finishing line
		}
		return ticks, cost
	}
	return p
}

// permuted is the best of all orders, by trying them.
func permuted(p *Problem) Sequence {
	n := len(p.Ticks)
	best := Sequence{Missed: Never}
	runs := make([]int, n)
	for i := range runs {
		runs[i] = i
	}
	var all func(k int)
	all = func(k int) {
		if k == n {
			end, missed, late, cost := p.Begin, int64(0), int64(0), int64(0)
			for i, r := range runs {
				from := -1
				if i > 0 {
					from = runs[i-1]
				}
				t, c := p.Change(from, r)
				end, cost = end+t+p.Ticks[r], cost+c
				for _, d := range p.Dues[r] {
					if over := end - d.At; over > 0 {
						missed, late = missed+d.Weight, late+over*d.Weight
					}
				}
			}
			if missed < best.Missed || missed == best.Missed && (late < best.Late || late == best.Late && cost < best.Cost) {
				best = Sequence{slices.Clone(runs), missed, late, cost, end}
			}
			return
		}
		for i := k; i < n; i++ {
			runs[k], runs[i] = runs[i], runs[k]
			all(k + 1)
			runs[k], runs[i] = runs[i], runs[k]
		}
	}
	all(0)
	return best
}

func TestFewRunsAreSettled(t *testing.T) {
	for seed := range 60 {
		p := draw(rand.New(rand.NewPCG(uint64(seed), 1)), 1+seed%7, seed%2 == 0)
		want, got := permuted(p), Exact(p)
		if got.Missed != want.Missed || got.Late != want.Late || got.Cost != want.Cost {
			t.Errorf("case %d: missed %d, late %d for %d, the best is %d, %d for %d", seed, got.Missed, got.Late, got.Cost, want.Missed, want.Late, want.Cost)
		}
		check(t, p, got)
	}
}

// check keeps a sequence to its runs and its sums.
func check(t *testing.T, p *Problem, s Sequence) {
	t.Helper()
	runs := slices.Sorted(slices.Values(s.Runs))
	for i, r := range runs {
		if r != i || len(runs) != len(p.Ticks) {
			t.Fatalf("%v are not %d runs", s.Runs, len(p.Ticks))
		}
	}
	if m := p.Measure(s.Runs); m.Missed != s.Missed || m.Late != s.Late || m.Cost != s.Cost || m.End != s.End {
		t.Errorf("said %+v, is %+v", s, m)
	}
}

// TestSearchBesideTheExactOne publishes the gap of the search where dynamic
// programming still settles: -v prints it.
func TestSearchBesideTheExactOne(t *testing.T) {
	cases, n := trials.Number(t, "", 20, 60), 11
	if testing.Short() {
		cases, n = 8, 9
	}
	found, worst, sum := 0, 0.0, 0.0
	for seed := range cases {
		p := draw(rand.New(rand.NewPCG(uint64(seed), 2)), n, seed%2 == 0)
		want, got := Exact(p), newSearch(p, 400_000, 1).run()
		check(t, p, got)
		if got.Missed == want.Missed && got.Late == want.Late && got.Cost == want.Cost {
			found++
			continue
		}
		if got.Better(&want) {
			t.Errorf("case %d: %+v is better than the best, %+v", seed, got, want)
		}
		over := float64(got.Cost)/float64(want.Cost) - 1
		switch {
		case want.Missed != got.Missed:
			over = float64(got.Missed)/float64(max(want.Missed, 1)) - 1
		case want.Late != got.Late:
			over = float64(got.Late)/float64(max(want.Late, 1)) - 1
		}
		worst, sum = max(worst, over), sum+over
	}
	t.Logf("%d of %d are the best, %.2f %% above it on average, %.2f %% at worst", found, cases, 100*sum/float64(cases), 100*worst)
	if worst > 0.03 {
		t.Errorf("%.2f %% above the best", 100*worst)
	}
}

// TestTwentyRunsBesideAnILP compares with cbc, which settles the sequence of 20
// runs as an integer program: arcs, and a flow of one unit to each run that no
// cycle apart from the beginning can have (B. Gavish, S. C. Graves, "The
// travelling salesman problem and related problems", MIT OR 078-78, 1978).
func TestTwentyRunsBesideAnILP(t *testing.T) {
	if testing.Short() {
		t.Skip("takes an outside solver some seconds")
	}
	cbc := witness.Need(t, "cbc")
	runs := 20
	cases, worst, sum := trials.Number(t, "", 1, 5), 0.0, 0.0
	for seed := range cases {
		p := draw(rand.New(rand.NewPCG(uint64(seed), 3)), runs, false)
		got := Solve(p, 2_000_000, 1)
		check(t, p, got)
		least := ilp(t, cbc, p)
		over := float64(got.Cost)/least - 1
		worst, sum = max(worst, over), sum+over
		t.Logf("case %d: %d, the solver has %.0f: %+.2f %%", seed, got.Cost, least, 100*over)
		if over > 0.03 {
			t.Errorf("case %d: %d is more than 3 %% above %.0f", seed, got.Cost, least)
		}
	}
	t.Logf("%d cases of %d runs: %+.2f %% on average, %+.2f %% at worst", cases, runs, 100*sum/float64(cases), 100*worst)
}

// ilp returns a cost that no sequence undercuts, as cbc proves it.
func ilp(t *testing.T, cbc string, p *Problem) float64 {
	n := len(p.Ticks)
	var b strings.Builder
	b.WriteString("Minimize\n obj:")
	for i := -1; i < n; i++ {
		for j := range n {
			if i != j {
				_, cost := p.Change(i, j)
				fmt.Fprintf(&b, " + %d x_%d_%d", cost, i+1, j+1)
			}
		}
	}
	b.WriteString("\nSubject To\n")
	for j := 1; j <= n; j++ {
		var in, out, flow string
		for i := 0; i <= n; i++ {
			if i != j {
				in += fmt.Sprintf(" + x_%d_%d", i, j)
				flow += fmt.Sprintf(" + f_%d_%d", i, j)
				if i > 0 {
					out += fmt.Sprintf(" + x_%d_%d", j, i)
					flow += fmt.Sprintf(" - f_%d_%d", j, i)
				}
				fmt.Fprintf(&b, " f_%d_%d - %d x_%d_%d <= 0\n", i, j, n, i, j)
			}
		}
		fmt.Fprintf(&b, "%s = 1\n%s <= 1\n%s = 1\n", in, out, flow)
	}
	for j := 1; j <= n; j++ {
		fmt.Fprintf(&b, " + x_0_%d", j)
	}
	b.WriteString(" = 1\nBinary\n")
	for i := 0; i <= n; i++ {
		for j := 1; j <= n; j++ {
			if i != j {
				fmt.Fprintf(&b, " x_%d_%d\n", i, j)
			}
		}
	}
	b.WriteString("End\n")
	file := filepath.Join(t.TempDir(), "runs.lp")
	if err := os.WriteFile(file, []byte(b.String()), 0o666); err != nil {
		t.Fatal(err)
	}
	text, err := exec.CommandContext(t.Context(), cbc, file, "sec", "30", "ratio", "0.001", "solve", "quit").CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	bound := 0.0
	for line := range strings.Lines(string(text)) {
		for _, head := range []string{"Objective value:", "Lower bound:"} {
			if rest, ok := strings.CutPrefix(strings.TrimSpace(line), head); ok {
				fmt.Sscan(rest, &bound)
			}
		}
	}
	if bound == 0 {
		t.Fatalf("no bound in\n%s", text)
	}
	return bound
}
