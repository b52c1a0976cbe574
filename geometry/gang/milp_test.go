package gang

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// tool finds a program, skips the test without it, and fails under CI.
func tool(t *testing.T, name, pkg string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	switch {
	case err == nil:
		return path
	case os.Getenv("CI") == "true":
		t.Fatalf("%s is missing: install the Debian package %s", name, pkg)
	default:
		t.Skipf("%s is missing (Debian package %s)", name, pkg)
	}
	return ""
}

// milp writes the problem as a linear model in the LP format that both solvers
// read: a whole variable for every possible run, lanes and length, which knows
// nothing of the search.
func milp(p *Problem) string {
	var goal, count strings.Builder
	makes := make([]strings.Builder, len(p.Orders))
	holds := make([]strings.Builder, len(p.Orders))
	var names []string
	longest := p.LeastLength
	for _, o := range p.Orders {
		longest = max(longest, o.Demand)
	}
	lanes := make([]int64, len(p.Orders))
	var fill func(i int, left int64, shares int)
	fill = func(i int, left int64, shares int) {
		if i < len(lanes) {
			for lanes[i] = 0; lanes[i]*max(1, p.Orders[i].Width) <= left; lanes[i]++ {
				if more := shares + int(min(1, lanes[i])); p.MaxOrders == 0 || more <= p.MaxOrders {
					fill(i+1, left-lanes[i]*max(1, p.Orders[i].Width), more)
				}
			}
			lanes[i] = 0
			return
		}
		if shares == 0 {
			return
		}
		for r := max(1, p.LeastLength); r <= longest; r++ {
			x := "x" + strconv.Itoa(len(names))
			names = append(names, x)
			fmt.Fprintf(&goal, " + %d %s\n", p.LengthCost*r+p.RunCost, x)
			fmt.Fprintf(&count, " + %s\n", x)
			for k, l := range lanes {
				if l > 0 {
					fmt.Fprintf(&makes[k], " + %d %s\n", l*r, x)
					fmt.Fprintf(&holds[k], " + %s\n", x)
				}
			}
		}
	}
	fill(0, p.Capacity, 0)
	var b strings.Builder
	fmt.Fprintf(&b, "Minimize\n cost: %s\nSubject To\n", goal.String())
	for i, o := range p.Orders {
		fmt.Fprintf(&b, " made%d: %s >= %d\n", i, makes[i].String(), o.Demand)
		if o.Most > 0 {
			fmt.Fprintf(&b, " most%d: %s <= %d\n", i, makes[i].String(), o.Most)
		}
		if o.NoSplit {
			fmt.Fprintf(&b, " held%d: %s <= 1\n", i, holds[i].String())
		}
	}
	if p.MaxRuns > 0 {
		fmt.Fprintf(&b, " runs: %s <= %d\n", count.String(), p.MaxRuns)
	}
	fmt.Fprintf(&b, "General\n %s\nEnd\n", strings.Join(names, "\n "))
	return b.String()
}

// solvers run a general solver on a model and give the least cost, or false
// where the model has no solution.
var solvers = []struct {
	name, pkg string
	run       func(path, model, dir string) (int64, bool, error)
}{
	{"glpsol", "glpk-utils", func(path, model, dir string) (int64, bool, error) {
		sol := filepath.Join(dir, "glpk.sol")
		if out, err := exec.Command(path, "--lp", model, "-w", sol, "--tmlim", "20").CombinedOutput(); err != nil {
			return 0, false, fmt.Errorf("%w: %s", err, out)
		}
		text, err := os.ReadFile(sol)
		if err != nil {
			return 0, false, err
		}
		// The line "s mip ROWS COLUMNS STATUS OBJECTIVE"; status o: optimal.
		for _, line := range strings.Split(string(text), "\n") {
			if f := strings.Fields(line); len(f) == 6 && f[0] == "s" {
				if f[4] != "o" {
					return 0, false, nil
				}
				v, err := strconv.ParseFloat(f[5], 64)
				return int64(v + 0.5), true, err
			}
		}
		return 0, false, errors.New("no status in the solution")
	}},
	{"cbc", "coinor-cbc", func(path, model, dir string) (int64, bool, error) {
		sol := filepath.Join(dir, "cbc.sol")
		if out, err := exec.Command(path, model, "sec", "20", "solve", "solu", sol).CombinedOutput(); err != nil {
			return 0, false, fmt.Errorf("%w: %s", err, out)
		}
		text, err := os.ReadFile(sol)
		if err != nil {
			return 0, false, err
		}
		// The first line is "Optimal - objective value V" or names a failure.
		line, _, _ := bytes.Cut(text, []byte("\n"))
		f := strings.Fields(string(line))
		if len(f) != 5 || f[0] != "Optimal" {
			return 0, false, nil
		}
		v, err := strconv.ParseFloat(f[4], 64)
		return int64(v + 0.5), true, err
	}},
}

// TestGeneralSolversAgree draws random small cases with every kind of limit
// and compares with GLPK and CBC, general solvers of mixed integer programs.
func TestGeneralSolversAgree(t *testing.T) {
	for _, s := range solvers {
		t.Run(s.name, func(t *testing.T) {
			path := tool(t, s.name, s.pkg)
			cases := 40
			if testing.Short() {
				cases = 8
			}
			for seed := range cases {
				p := rapid.Custom(drawLimited).Example(seed)
				if p.Validate() != nil {
					continue
				}
				dir := t.TempDir()
				model := filepath.Join(dir, "gang.lp")
				if err := os.WriteFile(model, []byte(milp(&p)), 0o644); err != nil {
					t.Fatal(err)
				}
				want, ok, err := s.run(path, model, dir)
				if err != nil {
					t.Fatal(err)
				}
				plan, b, err := Solve(context.Background(), p, Limits{Steps: 5_000_000, Seed: 1})
				if errors.Is(err, errNoPlan) {
					if ok {
						t.Errorf("case %d: no plan, the solver has one of %d: %+v", seed, want, p)
					}
					continue
				}
				if err != nil {
					t.Fatal(err)
				}
				if err := plan.Check(&p); err != nil {
					t.Errorf("case %d: %v", seed, err)
				}
				if !ok || plan.Cost != want || b.Cost > want {
					t.Errorf("case %d: cost %d, bound %d; the solver has %d (%v): %+v", seed, plan.Cost, b.Cost, want, ok, p)
				}
			}
		})
	}
}

// drawLimited draws a small problem with any of the limits.
func drawLimited(t *rapid.T) Problem {
	p := drawSmall(t)
	for i := range p.Orders {
		p.Orders[i].NoSplit = rapid.IntRange(0, 3).Draw(t, "no split") == 0
	}
	return p
}
