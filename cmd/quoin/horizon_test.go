package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"quoin/geometry/trials"
)

// walkedPlan is what a checker reads of a plan's JSON: it shares no code with the
// planner.
type walkedPlan struct {
	Runs, Printed    []walkedRun
	Unplanned, Later []struct{ Order string }
	Late             []struct {
		Run    string
		Saves  string
		Orders []string `json:"order_names"`
	}
	Total struct {
		Money int64
		Parts []struct{ Money int64 }
	}
	Bound  struct{ Money int64 }
	Replan *struct {
		Kept, New, Gone []string
		Altered         []struct{ Run string }
		Anew            bool
	}
}

type walkedRun struct {
	Name, Press, Die, Start, End string
	Frames, Lanes, Rows, Money   int64
	Blank                        int64   `json:"blank_lanes"`
	Web                          float64 `json:"web_mm"`
	Parts                        []struct{ Money int64 }
	Orders                       []walkedShare
}

type walkedShare struct {
	Order, Due                                              string
	Lanes, Stations, Labels, Ordered, Overs, Trimmed, Money int64
	Quantity                                                int64 `json:"order_quantity"`
}

const walkClock = "2006-01-02T15:04"

// walkNight is the day on whose evening a time's night begins.
func walkNight(t *testing.T, at string) string {
	t.Helper()
	x, err := time.Parse(walkClock, at)
	if err != nil {
		t.Fatal(err)
	}
	return x.Add(-12 * time.Hour).Format(time.DateOnly)
}

// walk is nights in which orders come, grow, shrink and are withdrawn.
type walk struct {
	t     *testing.T
	rng   *rand.Rand
	dir   string
	lines []string // of the order file, below its header
	plan  walkedPlan
	text  []byte
}

func (w *walk) order(id, first string) string {
	due, err := time.Parse(time.DateOnly, first)
	if err != nil {
		w.t.Fatal(err)
	}
	pick := func(list ...string) string { return list[w.rng.IntN(len(list))] }
	return fmt.Sprintf("%s,%d,50x75mm,%s,%q,%s,%d,%s,%d,%s", id, 100*(3+w.rng.IntN(250)), pick("paper", "paper", "film"), pick("C,M,Y,K", "C,M,Y,K,Quince Gold"),
		pick("out top", "out top", "out bottom"), 500*(1+w.rng.IntN(4)), due.AddDate(0, 0, w.rng.IntN(3)).Format(time.DateOnly), pick9(w.rng), pick("", "", "", "no-split", "alone"))
}

// pick9 is a priority of a few orders.
func pick9(rng *rand.Rand) int { return 9 * (rng.IntN(8) / 7) }

// gang plans with the program.
func (w *walk) gang(day string, more ...string) {
	w.t.Helper()
	file := "order,quantity,label,material,inks,winding,labels-per-roll,due,priority,flags\n" + strings.Join(w.lines, "\n") + "\n"
	if err := os.WriteFile(filepath.Join(w.dir, "orders.csv"), []byte(file), 0o666); err != nil {
		w.t.Fatal(err)
	}
	samples, err := filepath.Abs("../../samples")
	if err != nil {
		w.t.Fatal(err)
	}
	cmd := exec.Command(quoinProgram(w.t), append([]string{"gang", "orders.csv", "--job", samples + "/night-job.yaml", "--further-press", samples + "/night-press-2.yaml",
		"--dies", samples + "/night-dies.csv", "--nights", "3", "--time", "30ms", "-n", "--json", "--day", day}, more...)...)
	cmd.Dir = w.dir
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	if err := cmd.Run(); err != nil {
		if _, exited := errors.AsType[*exec.ExitError](err); !exited || cmd.ProcessState.ExitCode() != exitLeftOut {
			w.t.Fatalf("%v: %s", err, stderr.String())
		}
	}
	w.text = stdout.Bytes()
	w.plan = walkedPlan{}
	if err := json.Unmarshal(w.text, &w.plan); err != nil {
		w.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(w.dir, "plan.json"), w.text, 0o666); err != nil {
		w.t.Fatal(err)
	}
}

// printedBy says of which orders something is printed, or on the press, by then.
func (w *walk) printedBy(at string) map[string]bool {
	done := map[string]bool{}
	for _, run := range slices.Concat(w.plan.Printed, w.plan.Runs) {
		for _, s := range run.Orders {
			if run.Start <= at || slices.ContainsFunc(w.plan.Printed, func(r walkedRun) bool { return r.Name == run.Name }) {
				done[s.Order] = true
			}
		}
	}
	return done
}

// change lets orders of which nothing is printed grow, shrink and be withdrawn, and
// others come in.
func (w *walk) change(step int, day, at string) {
	done := w.printedBy(at)
	var next []string
	for _, line := range w.lines {
		f := strings.SplitN(line, ",", 3)
		n := 0
		fmt.Sscan(f[1], &n)
		if !done[f[0]] {
			switch w.rng.IntN(8) {
			case 0:
				continue
			case 1:
				n = max(100, n/2)
			case 2:
				n *= 2
			}
		}
		next = append(next, fmt.Sprintf("%s,%d,%s", f[0], n, f[2]))
	}
	for i := range 1 + w.rng.IntN(4) {
		next = append(next, w.order(fmt.Sprintf("%c%d", 'B'+step, i), day))
	}
	w.lines = next
}

// checkPlan proves a plan by itself: nothing lost, nothing doubled, lanes, hours and
// sums right, late orders said.
func (w *walk) checkPlan(at string) {
	t := w.t
	t.Helper()
	out := map[string]bool{}
	for _, list := range [][]struct{ Order string }{w.plan.Unplanned, w.plan.Later} {
		for _, n := range list {
			out[n.Order] = true
		}
	}
	wanted := map[string]int64{}
	for _, line := range w.lines {
		f := strings.SplitN(line, ",", 3)
		n := int64(0)
		fmt.Sscan(f[1], &n)
		wanted[f[0]] = n
	}
	good, names, due, ends := map[string]int64{}, map[string]bool{}, map[string]int64{}, map[string][][2]string{}
	all := slices.Concat(w.plan.Printed, w.plan.Runs)
	for _, run := range all {
		if names[run.Name] {
			t.Errorf("two runs are %s", run.Name)
		}
		names[run.Name] = true
		ends[run.Press] = append(ends[run.Press], [2]string{run.Start, run.End})
		for _, s := range run.Orders {
			if s.Labels-s.Trimmed != s.Ordered+s.Overs || s.Labels != s.Stations*run.Frames || s.Stations != s.Lanes*run.Rows {
				t.Errorf("%s, %s: %+v on %d frames of %d rows", run.Name, s.Order, s, run.Frames, run.Rows)
			}
			good[s.Order] += s.Labels - s.Trimmed
			due[s.Order] += s.Ordered
		}
	}
	for id, n := range wanted {
		switch {
		case out[id] && good[id] > 0 && len(w.plan.Printed) == 0:
			t.Errorf("%s is planned, and left out", id)
		case !out[id] && good[id] < n:
			t.Errorf("%s: %d of %d", id, good[id], n)
		case !out[id] && due[id] > good[id]:
			t.Errorf("%s: %d due of %d made", id, due[id], good[id])
		}
	}
	for id := range good {
		if wanted[id] == 0 {
			t.Errorf("%s is printed, and nobody orders it", id)
		}
	}
	sum := int64(0)
	for _, run := range w.plan.Runs {
		lanes, parts, orders := run.Blank, int64(0), int64(0)
		for _, s := range run.Orders {
			lanes, orders = lanes+s.Lanes, orders+s.Money
		}
		for _, p := range run.Parts {
			parts += p.Money
		}
		if lanes != run.Lanes || parts != run.Money || orders != run.Money {
			t.Errorf("%s: %d of %d lanes; %d by items and %d by orders of %d", run.Name, lanes, run.Lanes, parts, orders, run.Money)
		}
		if sum += run.Money; run.Start < at {
			t.Errorf("%s begins at %s, and it is %s", run.Name, run.Start, at)
		}
		w.checkTimes(run)
	}
	if sum != w.plan.Total.Money || w.plan.Bound.Money > sum {
		t.Errorf("runs of %d, in all %d, bound %d", sum, w.plan.Total.Money, w.plan.Bound.Money)
	}
	for press, list := range ends {
		slices.SortFunc(list, func(a, b [2]string) int { return strings.Compare(a[0]+a[1], b[0]+b[1]) })
		for i := 1; i < len(list); i++ {
			if list[i][0] < list[i-1][1] {
				t.Errorf("%s prints two runs at %s", press, list[i][0])
			}
		}
	}
}

// checkTimes proves that a run keeps the shifts of the samples, 22:00 to 2:00 and 2:30
// to 6:00, that it is said to be late where it is, and is printed in no night before
// one of its orders is due.
func (w *walk) checkTimes(run walkedRun) {
	t := w.t
	t.Helper()
	clock := func(at string) string { return at[len(at)-5:] }
	if at := clock(run.Start); at < "22:00" && at >= "06:00" || at >= "02:00" && at < "02:30" {
		t.Errorf("%s begins at %s, between shifts", run.Name, run.Start)
	}
	if at := clock(run.End); at < "22:00" && at > "06:00" || at > "02:00" && at < "02:30" {
		t.Errorf("%s ends at %s, between shifts", run.Name, run.End)
	}
	var late, said []string
	first := ""
	for _, s := range run.Orders {
		if s.Due != "" && walkNight(t, run.End) > s.Due {
			late = append(late, s.Order)
		}
		if first == "" || s.Due < first {
			first = s.Due
		}
	}
	for _, l := range w.plan.Late {
		if l.Run == run.Name {
			if said = l.Orders; l.Saves == "" {
				t.Errorf("%s is late, and nothing saves it", run.Name)
			}
		}
	}
	slices.Sort(late)
	slices.Sort(said)
	if !slices.Equal(late, said) {
		t.Errorf("%s: %v are late, said of %v", run.Name, late, said)
	}
	// These nights have hours enough, so nothing is printed because it is due soon.
	if first > walkNight(t, run.Start) {
		t.Errorf("%s is printed in the night of %s, and all its orders are due on %s or later", run.Name, walkNight(t, run.Start), first)
	}
}

// checkChanged proves a plan against the one before: what had begun is held to the
// letter, and what is said to have changed has.
func (w *walk) checkChanged(before walkedPlan, at string) {
	t := w.t
	t.Helper()
	was, fixed := map[string]walkedRun{}, map[string]bool{}
	for _, run := range before.Printed {
		was[run.Name], fixed[run.Name] = run, true
	}
	for _, run := range before.Runs {
		was[run.Name], fixed[run.Name] = run, run.Start <= at
	}
	held := map[string]bool{}
	for _, run := range w.plan.Printed {
		held[run.Name] = true
		if !fixed[run.Name] || !reflect.DeepEqual(run, was[run.Name]) {
			t.Errorf("%s is held, and fixed %v:\n%+v\nwas\n%+v", run.Name, fixed[run.Name], run, was[run.Name])
		}
	}
	for name := range fixed {
		if fixed[name] != held[name] {
			t.Errorf("%s is fixed %v, and held %v", name, fixed[name], held[name])
		}
	}
	c := w.plan.Replan
	for _, run := range w.plan.Runs {
		old, known := was[run.Name]
		same := known && old.Frames == run.Frames && old.Press == run.Press && old.Die == run.Die && old.Web == run.Web && len(old.Orders) == len(run.Orders)
		for _, s := range run.Orders {
			same = same && slices.ContainsFunc(old.Orders, func(o walkedShare) bool { return o.Order == s.Order && o.Lanes == s.Lanes })
		}
		altered := slices.ContainsFunc(c.Altered, func(x struct{ Run string }) bool { return x.Run == run.Name })
		if slices.Contains(c.Kept, run.Name) != same || altered != (known && !same) || slices.Contains(c.New, run.Name) == known {
			t.Errorf("%s: known %v, same %v, and kept %v, altered %v, new %v", run.Name, known, same, c.Kept, c.Altered, c.New)
		}
	}
	if c.Anew {
		return
	}
	for _, run := range before.Runs { // what need not change stays
		stands := !held[run.Name]
		for _, s := range run.Orders {
			stands = stands && slices.ContainsFunc(w.lines, func(line string) bool { return strings.HasPrefix(line, fmt.Sprintf("%s,%d,", s.Order, s.Quantity)) })
		}
		if stands && !slices.ContainsFunc(w.plan.Runs, func(r walkedRun) bool { return r.Name == run.Name }) {
			t.Errorf("%s is gone, and its orders stand", run.Name)
		}
	}
}

// TestThreeNightsAsOrdersComeIn walks nights with the program: each plan is made from
// the one before, at a time at which some of it is printed, while orders come in,
// grow, shrink and are withdrawn.
func TestThreeNightsAsOrdersComeIn(t *testing.T) {
	t.Parallel()
	walks := trials.Number(t, "QUOIN_WALKS", 3, 12)
	if testing.Short() {
		walks = 1
	}
	for seed := range walks {
		w := &walk{t: t, rng: rand.New(rand.NewPCG(uint64(seed), 8)), dir: t.TempDir()}
		for i := range 6 + w.rng.IntN(8) {
			w.lines = append(w.lines, w.order(fmt.Sprintf("A%d", i), "2026-03-02"))
		}
		w.gang("2026-03-02")
		w.checkPlan("")
		for step, now := range [][2]string{
			{"2026-03-02", fmt.Sprintf("2026-03-02T22:%02d", w.rng.IntN(60))}, {"2026-03-03", "2026-03-03T12:00"},
			{"2026-03-03", fmt.Sprintf("2026-03-03T22:%02d", w.rng.IntN(60))}, {"2026-03-04", "2026-03-04T09:30"},
		} {
			day, at := now[0], now[1]
			before := w.plan
			w.change(step, day, at)
			w.gang(day, "--replan", "plan.json", "--at", at)
			w.checkPlan(at)
			w.checkChanged(before, at)
			if t.Failed() {
				t.Fatalf("walk %d at %s:\n%s\n%s", seed, at, strings.Join(w.lines, "\n"), w.text)
			}
		}
	}
}
