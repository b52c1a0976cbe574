package plan

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"quoin/geometry/trials"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
	"quoin/impose/witness/schemas"
)

// horizon is three nights of two presses, with their orders.
func horizon(t *testing.T, seed int) (lines []string, r *night.Rules) {
	t.Helper()
	rng := rand.New(rand.NewPCG(uint64(seed), 31))
	for i := range 5 + rng.IntN(14) {
		lines = append(lines, horizonOrder(rng, fmt.Sprintf("%02d", i)))
	}
	r = nighttest.MoneyRules(t)
	r.House.Dies, r.Day, r.Nights = nighttest.Dies(t), time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC), 3
	return lines, r
}

func horizonOrder(rng *rand.Rand, id string) string {
	return fmt.Sprintf("%s,%d,%s,%s,%q,out top,%d,2026-03-0%d,%s", id, 200+rng.IntN(9000), []string{"50x75mm", "60x40mm"}[rng.IntN(2)],
		[]string{"paper", "film"}[rng.IntN(2)], []string{"C,M,Y,K", "C,M,Y,K,Gold"}[rng.IntN(2)], 1000+500*rng.IntN(3), 1+rng.IntN(3),
		[]string{"", "", "", "alone", "no-split"}[rng.IntN(5)])
}

func horizonFile(t *testing.T, lines []string) []job.Order {
	t.Helper()
	return nighttest.Orders(t, "order,quantity,label,material,inks,winding,labels-per-roll,due,flags\n"+strings.Join(lines, "\n")+"\n")
}

// again writes a plan down and plans its nights again.
func again(t *testing.T, p *Plan, lines []string, r *night.Rules, at string, printed ...string) *Plan {
	t.Helper()
	text, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	file := t.TempDir() + "/plan.json"
	if err := os.WriteFile(file, text, 0o666); err != nil {
		t.Fatal(err)
	}
	var when time.Time
	if at != "" {
		when = clock(t, at)
	}
	b, err := ReadBefore(file, when, printed)
	if err != nil {
		t.Fatal(err)
	}
	next, err := MakeAfter(t.Context(), horizonFile(t, lines), r, b)
	if err != nil {
		t.Fatal(err)
	}
	return next
}

// printing is what a checker reads of a run: its JSON, and none of the planner's code.
type printing struct {
	Name, Press, Die, Start, End string
	Frames                       int64
	Web                          float64 `json:"web_mm"`
	Orders                       []struct {
		Order                     string
		Labels, Stations, Trimmed int64
	}
}

func (r *printing) what() string { return fmt.Sprint(r.Press, r.Die, r.Web, r.Frames, r.Orders) }

// replanned is what a checker reads of a plan.
type replanned struct {
	Runs, Printed []printing
	Total         struct{ Money int64 }
	Unplanned     []struct{ Order string }
	Replan        *struct {
		Kept, New, Gone []string
		Altered         []struct{ Run string }
		Orders          []struct{ Order string }
		Anew            bool
		MadeAnew        int64 `json:"made_anew_money"`
	}
}

func readBack(t *testing.T, p *Plan) (out replanned) {
	t.Helper()
	text, err := json.Marshal(p)
	if err == nil {
		err = json.Unmarshal(text, &out)
	}
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// checkReplan proves a plan made again from both plans' JSON: what had begun is
// held to the letter, no run begins before, every open order is met by both
// together, and what is said to have changed is what has.
func checkReplan(t *testing.T, before, after *Plan, lines []string, at string) {
	t.Helper()
	old, now := readBack(t, before), readBack(t, after)
	was, made := map[string]printing{}, map[string]int64{}
	for _, run := range old.Runs {
		was[run.Name] = run
	}
	printed, ends := map[string]bool{}, map[string]string{}
	for _, run := range now.Printed {
		printed[run.Name] = true
		if o := was[run.Name]; o.what() != run.what() || o.Start != run.Start || o.End != run.End {
			t.Errorf("%s is printed otherwise than it was planned", run.Name)
		}
		ends[run.Press] = max(ends[run.Press], run.End)
	}
	for _, run := range old.Runs {
		if (run.Start <= at) != printed[run.Name] {
			t.Errorf("%s begins at %s, held at %s: %v", run.Name, run.Start, at, printed[run.Name])
		}
	}
	names := map[string]bool{}
	for _, run := range slices.Concat(now.Printed, now.Runs) {
		if names[run.Name] {
			t.Errorf("two runs are %s", run.Name)
		}
		names[run.Name] = true
		for _, o := range run.Orders {
			made[o.Order] += o.Labels - o.Trimmed
		}
	}
	c := now.Replan
	altered := []string{}
	for _, x := range c.Altered {
		altered = append(altered, x.Run)
	}
	for _, run := range now.Runs {
		if run.Start < at || run.Start < ends[run.Press] {
			t.Errorf("%s begins at %s, it is %s and %s prints until %s", run.Name, run.Start, at, run.Press, ends[run.Press])
		}
		o, known := was[run.Name]
		list := map[bool][]string{true: c.Kept, false: altered}[o.what() == run.what()]
		if !known {
			list = c.New
		}
		if !slices.Contains(list, run.Name) {
			t.Errorf("%s: known %v, same %v, and kept %v, altered %v, new %v", run.Name, known, o.what() == run.what(), c.Kept, altered, c.New)
		}
	}
	for _, run := range old.Runs {
		if gone := !names[run.Name]; gone != slices.Contains(c.Gone, run.Name) {
			t.Errorf("%s is gone: %v, not %v", run.Name, gone, c.Gone)
		}
	}
	if len(c.Kept)+len(c.New)+len(altered) != len(now.Runs) {
		t.Errorf("%d runs, %d kept, %d new, %d altered", len(now.Runs), len(c.Kept), len(c.New), len(altered))
	}
	for _, o := range horizonFile(t, lines) {
		left := slices.ContainsFunc(now.Unplanned, func(n struct{ Order string }) bool { return n.Order == o.ID })
		if made[o.ID] < o.Quantity && !left {
			t.Errorf("order %s: %d of %d", o.ID, made[o.ID], o.Quantity)
		}
	}
	wanted := func(id string) string {
		for _, line := range lines {
			if strings.HasPrefix(line, id+",") {
				return line
			}
		}
		return ""
	}
	if c.Anew {
		return
	}
	for _, run := range old.Runs { // nothing changes that need not
		stands := !printed[run.Name] && !slices.ContainsFunc(run.Orders, func(o struct {
			Order                     string
			Labels, Stations, Trimmed int64
		}) bool {
			return wanted(o.Order) == "" || slices.Contains([]string{"less", "more"}, touched[o.Order])
		})
		if stands && !slices.Contains(c.Kept, run.Name) && !slices.Contains(altered, run.Name) {
			t.Errorf("%s is not kept, and its orders stand", run.Name)
		}
	}
}

// touched says of the orders of a case what was done to them.
var touched map[string]string

// TestPlansMadeAgainChangeLittle draws nights, lets some of their runs be printed,
// changes orders, and checks each plan that is made then.
func TestPlansMadeAgainChangeLittle(t *testing.T) {
	file, err := os.ReadFile("schema/plan.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	schema := schemas.Schema(t, file)
	cases := trials.Number(t, "", 8, 24)
	anew := 0
	for seed := range cases {
		lines, r := horizon(t, seed)
		before := made(t, horizonFile(t, lines), r)
		rng := rand.New(rand.NewPCG(uint64(seed), 77))
		at := "2026-03-01T21:00"
		if seed%4 > 0 && len(before.Runs) > 0 {
			at = before.Runs[rng.IntN(len(before.Runs))].Start
		}
		touched = map[string]string{}
		var next []string
		for _, line := range lines {
			id, rest, _ := strings.Cut(line, ",")
			quantity, rest, _ := strings.Cut(rest, ",")
			n := 0
			fmt.Sscan(quantity, &n)
			switch rng.IntN(9) {
			case 0:
				touched[id] = "gone"
				continue
			case 1:
				touched[id], n = "less", n*2/3
			case 2:
				touched[id], n = "more", n*3/2
			}
			next = append(next, fmt.Sprintf("%s,%d,%s", id, n, rest))
		}
		for i := range rng.IntN(4) {
			next = append(next, horizonOrder(rng, fmt.Sprintf("new-%d", i)))
		}
		p := again(t, before, next, r, at)
		checkReplan(t, before, p, next, at)
		text, _ := json.Marshal(p)
		doc, err := jsonschema.UnmarshalJSON(strings.NewReader(string(text)))
		if err == nil {
			err = schema.Validate(doc)
		}
		if err != nil {
			t.Error(err)
		}
		if p.Replan.Anew {
			anew++
		}
		if p.Bound.Money != nil && *p.Bound.Money > *p.Total.Money || *p.Bound.Money > p.Replan.MadeAnew {
			t.Errorf("case %d: bound %d, plan %d, made anew %d", seed, *p.Bound.Money, *p.Total.Money, p.Replan.MadeAnew)
		}
		if t.Failed() {
			t.Fatalf("case %d at %s: %v", seed, at, touched)
		}
	}
	t.Logf("%d of %d were made anew", anew, cases)
}

// TestNothingChangesWhereNothingDid: the same orders before the first run begin
// give the same runs at the same times, and cost the same.
func TestNothingChangesWhereNothingDid(t *testing.T) {
	lines, r := horizon(t, 3)
	before := made(t, horizonFile(t, lines), r)
	p := again(t, before, lines, r, "2026-03-01T12:00")
	if *p.Total.Money != *before.Total.Money || len(p.Replan.Kept) != len(before.Runs) || len(p.Replan.Moved)+len(p.Replan.Orders) > 0 {
		t.Errorf("%d, was %d; %+v", *p.Total.Money, *before.Total.Money, p.Replan)
	}
	for i := range p.Runs {
		if a, b := p.Runs[i], before.Runs[i]; a.Name != b.Name || a.Start != b.Start || *a.Money != *b.Money {
			t.Errorf("%s %s %d, was %s %s %d", a.Name, a.Start, *a.Money, b.Name, b.Start, *b.Money)
		}
	}
}

// TestNewOrdersFillBlankLanes: 2,400 labels on four of six lanes of twelve rows are
// 50 frames and leave two lanes blank. 600 labels fill one of them, which costs a
// roll and no set-up; 9,000 don't.
func TestNewOrdersFillBlankLanes(t *testing.T) {
	dies, err := job.ParseDies("d.csv", []byte("number,size,lanes,rows,gap,station,repeat\n6,50x75mm,6,12,3x3mm,flat-bed,936mm\n"))
	if err != nil {
		t.Fatal(err)
	}
	_, r := horizon(t, 0)
	r.House.Dies, r.Presses = dies, nil
	order := func(id string, quantity int, due, flags string) string {
		return fmt.Sprintf("%s,%d,50x75mm,paper,\"C,M,Y,K\",out top,1000,%s,%s", id, quantity, due, flags)
	}
	lines := []string{order("A", 2400, "2026-03-02", "no-split")}
	before := made(t, horizonFile(t, lines), r)
	before.Runs[0].Orders[0].Lanes, before.Runs[0].Orders[0].Stations = 4, 48 // as a planner laid it
	before.Runs[0].Frames = 50
	lines = append(lines, order("new", 600, "2026-03-03", ""), order("later", 9000, "2026-03-03", ""))
	p := again(t, before, lines, r, "2026-03-01T12:00")
	if len(p.Replan.Altered) != 1 || p.Replan.Altered[0].What != "with new" || len(p.Runs) != 2 || len(p.Replan.New) != 1 {
		t.Fatalf("%+v", p.Replan)
	}
	for _, run := range p.Runs {
		if run.Name == "run-001" && (len(run.Orders) != 2 || run.Frames != 50 || run.BlankLanes != 1) {
			t.Errorf("%+v", run)
		}
	}
	// An order that was due before that run ends goes elsewhere.
	lines[1] = order("new", 600, "2026-02-28", "")
	if p := again(t, before, lines, r, "2026-03-01T12:00"); len(p.Replan.Altered) != 0 && !p.Replan.Anew {
		t.Errorf("%+v", p.Replan)
	}
}

// TestKeptRunsOfWholeRollsMakeWhatTheirRollsHold: 13,500 labels in rolls of 500, each of
// 36 frames of 14 rows in its lane, of which 4 come off with the roll's end. When the
// order grows to twice as much, the kept run counts for its rolls and no more.
func TestKeptRunsOfWholeRollsMakeWhatTheirRollsHold(t *testing.T) {
	dies, err := job.ParseDies("d.csv", []byte("number,size,lanes,rows,gap,station,repeat\n4,40x40mm,7,14,3x3mm,flat-bed,602mm\n"))
	if err != nil {
		t.Fatal(err)
	}
	_, r := horizon(t, 0)
	r.House.Dies, r.Presses = dies, nil
	order := func(quantity int) []string {
		return []string{fmt.Sprintf("A,%d,40x40mm,film,\"C,M,Y,K\",out top,500,2026-03-02,", quantity)}
	}
	p, at := made(t, horizonFile(t, order(13_500)), r), "2026-03-01T12:00"
	if len(p.Runs) != 1 || p.Runs[0].Orders[0].Trimmed == 0 {
		t.Fatalf("no roll is trimmed: %+v", p.Runs)
	}
	for _, quantity := range []int{27_000, 54_000} {
		touched = map[string]string{"A": "more"}
		next := again(t, p, order(quantity), r, at)
		checkReplan(t, p, next, order(quantity), at)
		if len(next.Replan.Kept) == 0 {
			t.Errorf("%d: nothing is kept: %+v", quantity, next.Replan)
		}
		p = next
	}
}

// TestPlanAnewWhereItIsWorthIt: what need not change stays, unless the night costs
// so much less.
func TestPlanAnewWhereItIsWorthIt(t *testing.T) {
	lines, r := horizon(t, 5)
	before := made(t, horizonFile(t, lines[:len(lines)/2]), r)
	p := again(t, before, lines, r, "2026-03-01T12:00")
	more := *p.Total.Money - p.Replan.MadeAnew
	if p.Replan.Anew || more <= 0 {
		t.Fatalf("kept costs %d more, anew %v", more, p.Replan.Anew)
	}
	text, _ := json.Marshal(before)
	for _, c := range []struct {
		from int64
		anew bool
	}{{more, true}, {more + 1, false}} {
		var old Plan
		if err := json.Unmarshal(text, &old); err != nil {
			t.Fatal(err)
		}
		b, err := NewBefore(&old, clock(t, "2026-03-01T12:00"), nil)
		if err != nil {
			t.Fatal(err)
		}
		b.Anew = c.from
		p, err := MakeAfter(t.Context(), horizonFile(t, lines), r, b)
		if err != nil || p.Replan.Anew != c.anew {
			t.Errorf("from %d: anew %v, %v", c.from, p.Replan.Anew, err)
		}
	}
}

// TestEarlierPlansThatAreNone are refused.
func TestEarlierPlansThatAreNone(t *testing.T) {
	for _, c := range []struct {
		p       Plan
		printed []string
		says    string
	}{
		{Plan{}, nil, "is of the form"},
		{Plan{Schema: Schema, By: night.Web}, nil, "is by web"},
		{Plan{Schema: Schema, By: night.Money}, []string{"run-009"}, "no run"},
	} {
		if _, err := NewBefore(&c.p, time.Time{}, c.printed); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v, want %q", err, c.says)
		}
	}
	if _, err := ReadBefore("replan_test.go", time.Time{}, nil); err == nil || !strings.Contains(err.Error(), "is no plan") {
		t.Error(err)
	}
}
