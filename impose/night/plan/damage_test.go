package plan

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"quoin/impose/job"
	"quoin/impose/night/nighttest"
)

// unseen are the values of a plan's JSON whose change no checker need find: names of what
// is printed, what is said in words, and the bounds of what is not checked here.
var unseen = regexp.MustCompile(`^(night|proved_for|later|notes|findings|inputs|tools|days|unplanned\[\]\.(code|text)|late\[\]\.saves|` +
	`runs\[\]\.orders\[\]\.(product|artwork|page|sha256)|bound\.(web_m|press_min|runs|money))`)

// leaves calls with each value of a JSON document that holds no others, where it
// stands, and how to put another in its place.
func leaves(at string, v any, put func(any), call func(at string, v any, put func(any))) {
	switch x := v.(type) {
	case map[string]any:
		for _, key := range slices.Sorted(maps.Keys(x)) {
			leaves(strings.TrimPrefix(at+"."+key, "."), x[key], func(v any) { x[key] = v }, call)
		}
	case []any:
		for i := range x {
			leaves(at+"[]", x[i], func(v any) { x[i] = v }, call)
		}
	default:
		call(at, v, put)
	}
}

// damaged returns other values than one that stands in a plan.
func damaged(v any) []any {
	switch x := v.(type) {
	case float64:
		if x == math.Trunc(x) {
			return []any{x + 1, x - 1}
		}
		return []any{x * 1.05, x*0.95 - 0.02}
	case bool:
		return []any{!x}
	case string:
		if at, err := time.Parse("2006-01-02T15:04", x); err == nil {
			return []any{at.Add(3 * time.Minute).Format("2006-01-02T15:04"), at.Add(-3 * time.Minute).Format("2006-01-02T15:04")}
		}
		if day, err := time.Parse(time.DateOnly, x); err == nil {
			return []any{day.AddDate(0, 0, 1).Format(time.DateOnly)}
		}
		return []any{x + "x"}
	}
	return nil
}

// TestCheckerFindsEveryDamage alters each value of a right plan, one after the other: all
// that its bill, its times, its needs and its sums hang on is found. So are runs and orders
// that are missing, doubled or exchanged.
func TestCheckerFindsEveryDamage(t *testing.T) {
	r := nighttest.MoneyRules(t)
	r.House.Dies, r.Day, r.Nights = nighttest.Dies(t), time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC), 2
	presses := []*job.Press{r.House.Press, r.Presses[0]}
	for _, p := range presses {
		p.Prices.PerOver = 0.001
		p.Shifts = []job.Shift{{From: 22 * 60, To: 22*60 + 15}, {From: 23 * 60, To: 23*60 + 10}}
	}
	list := "order,quantity,label,material,inks,winding,labels-per-roll,due,priority,flags\n"
	for i := range 12 {
		list += fmt.Sprintf("%d,%d,%s,%s,%q,out top,1000,2026-03-0%d,%d,%s\n", i, 900+1700*i, []string{"50x75mm", "60x40mm"}[i%2], []string{"paper", "film"}[i/2%2],
			[]string{"C,M,Y,K", "C,M,Y,K,Gold"}[i/3%2], 1+i%2, i%5/4, map[int]string{5: "alone", 7: "no-split"}[i])
	}
	all := nighttest.Orders(t, list)
	text, err := json.Marshal(made(t, all, r))
	if err != nil {
		t.Fatal(err)
	}
	if faults := nightFaults(text, all, presses, r.House.Dies, r.Nights); len(faults) > 0 {
		t.Fatalf("a right plan has faults: %s", strings.Join(faults, "\n"))
	}
	var doc map[string]any
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	found := func() bool {
		text, err := json.Marshal(doc)
		if err != nil {
			t.Fatal(err)
		}
		return len(nightFaults(text, all, presses, r.House.Dies, r.Nights)) > 0
	}
	blind, tried := map[string]int{}, 0
	leaves("", doc, nil, func(at string, v any, put func(any)) {
		if unseen.MatchString(at) {
			return
		}
		for _, other := range damaged(v) {
			tried++
			if put(other); !found() {
				blind[fmt.Sprintf("%s: %v for %v", at, other, v)]++
			}
		}
		put(v)
	})
	if len(blind) > 0 {
		t.Errorf("%d of %d damages are not seen:\n%s", len(blind), tried, strings.Join(slices.Sorted(maps.Keys(blind)), "\n"))
	}
	runs := doc["runs"].([]any)
	last := runs[len(runs)-1].(map[string]any)
	for name, list := range map[string][]any{
		"a run is missing": runs[:len(runs)-1], "a run stands twice": append(slices.Clone(runs), last),
		"runs are exchanged": append([]any{runs[1], runs[0]}, runs[2:]...),
	} {
		if doc["runs"] = list; !found() {
			t.Errorf("%s: not seen", name)
		}
	}
	doc["runs"] = runs
	orders := last["orders"].([]any)
	for name, list := range map[string][]any{"an order is missing": orders[1:], "an order stands twice": append(slices.Clone(orders), orders[0])} {
		if last["orders"] = list; !found() {
			t.Errorf("%s: not seen", name)
		}
	}
	t.Logf("%d damages of a plan of %d runs", tried, len(runs))
}
