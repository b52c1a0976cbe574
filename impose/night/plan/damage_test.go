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

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

// unseen are the values of a plan's JSON whose change no checker need find: names of what
// is printed, what is said in words, and the bounds, of which only those that can't be are found.
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

// dated is a night of two presses with due days, priorities, and orders alone and in one run.
func dated(t testing.TB) ([]job.Order, *night.Rules) {
	t.Helper()
	r := nighttest.MoneyRules(t)
	r.House.Dies, r.Day, r.Nights = nighttest.Dies(t), time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC), 2
	for _, p := range []*job.Press{r.House.Press, r.Presses[0]} {
		p.Prices.PerOver = 0.001
		p.Shifts = []job.Shift{{From: 22 * 60, To: 22*60 + 15}, {From: 23 * 60, To: 23*60 + 10}}
	}
	list := "order,quantity,label,material,inks,winding,labels-per-roll,due,priority,flags\n"
	for i := range 12 {
		list += fmt.Sprintf("%d,%d,%s,%s,%q,out top,1000,2026-03-0%d,%d,%s\n", i, 900+1700*i, []string{"50x75mm", "60x40mm"}[i%2], []string{"paper", "film"}[i/2%2],
			[]string{"C,M,Y,K", "C,M,Y,K,Gold"}[i/3%2], 1+i%2, i%5/4, map[int]string{5: "alone", 7: "no-split"}[i])
	}
	return nighttest.Orders(t, list), r
}

// damage is a right plan's JSON that is altered.
type damage struct {
	doc map[string]any
	all []job.Order
	r   *night.Rules
}

func damageOf(t *testing.T, all []job.Order, r *night.Rules) *damage {
	t.Helper()
	d := &damage{all: all, r: r}
	text, err := json.Marshal(made(t, all, r))
	if err == nil {
		err = json.Unmarshal(text, &d.doc)
	}
	if err != nil {
		t.Fatal(err)
	}
	if faults := d.faults(t); len(faults) > 0 {
		t.Fatalf("a right plan has faults: %s", strings.Join(faults, "\n"))
	}
	return d
}

func (d *damage) faults(t *testing.T) []string {
	text, err := json.Marshal(d.doc)
	if err != nil {
		t.Fatal(err)
	}
	return nightFaults(text, d.all, d.r)
}

// TestCheckerFindsEveryDamage alters each value of right plans, one after the other: all
// that their bills, their times, their needs and their sums hang on is found. So are runs
// and orders that are missing, doubled or exchanged.
func TestCheckerFindsEveryDamage(t *testing.T) {
	for name, night := range map[string]func() ([]job.Order, *night.Rules){
		"dated": func() ([]job.Order, *night.Rules) { return dated(t) }, "mixed": func() ([]job.Order, *night.Rules) { return wished(t, 9) },
		"spliced": func() ([]job.Order, *night.Rules) { return wished(t, 6) }, "pinned": func() ([]job.Order, *night.Rules) { return wished(t, 11) },
		"stocked": func() ([]job.Order, *night.Rules) { return odd(t, 5) }, "odd": func() ([]job.Order, *night.Rules) { return odd(t, 3) },
	} {
		t.Run(name, func(t *testing.T) {
			all, r := night()
			d := damageOf(t, all, r)
			everyValue(t, d)
			everyRun(t, d)
		})
	}
}

func everyValue(t *testing.T, d *damage) {
	blind, tried := map[string]int{}, 0
	leaves("", d.doc, nil, func(at string, v any, put func(any)) {
		if unseen.MatchString(at) || at == "groups[].gap_percent" && v != 0.0 { // of a bound that isn't told
			return
		}
		for _, other := range damaged(v) {
			tried++
			if put(other); len(d.faults(t)) == 0 {
				blind[fmt.Sprintf("%s: %v for %v", at, other, v)]++
			}
		}
		put(v)
	})
	if len(blind) > 0 {
		t.Errorf("%d of %d damages are not seen:\n%s", len(blind), tried, strings.Join(slices.Sorted(maps.Keys(blind)), "\n"))
	}
	t.Logf("%d damages", tried)
}

func everyRun(t *testing.T, d *damage) {
	runs := d.doc["runs"].([]any)
	last := runs[len(runs)-1].(map[string]any)
	for name, list := range map[string][]any{
		"a run is missing": runs[:len(runs)-1], "a run stands twice": append(slices.Clone(runs), last),
		"runs are exchanged": append([]any{runs[1], runs[0]}, runs[2:]...),
	} {
		if d.doc["runs"] = list; len(d.faults(t)) == 0 {
			t.Errorf("%s: not seen", name)
		}
	}
	d.doc["runs"] = runs
	orders := last["orders"].([]any)
	for name, list := range map[string][]any{"an order is missing": orders[1:], "an order stands twice": append(slices.Clone(orders), orders[0])} {
		if last["orders"] = list; len(d.faults(t)) == 0 {
			t.Errorf("%s: not seen", name)
		}
	}
}

// TestCheckerFindsWhatAgreesWithItself alters what hangs together as one, so that no
// sum gives it away, and what was asked for, which the plan then doesn't keep.
func TestCheckerFindsWhatAgreesWithItself(t *testing.T) {
	add := func(d *damage, n float64, keys ...[2]string) {
		for _, k := range keys {
			part := d.doc[k[0]].(map[string]any)
			part[k[1]] = part[k[1]].(float64) + n
		}
	}
	total := func(d *damage, key string) float64 { return d.doc["total"].(map[string]any)[key].(float64) }
	turn := func(x any) {
		if m := x.(map[string]any); m["turn_deg"] != nil {
			m["turn_deg"] = math.Mod(m["turn_deg"].(float64)+180, 360)
		}
	}
	first := func(d *damage) (ids []string) { // of the first run that has several
		for _, run := range d.doc["runs"].([]any) {
			if orders := run.(map[string]any)["orders"].([]any); len(orders) > 1 {
				for _, o := range orders {
					ids = append(ids, o.(map[string]any)["order"].(string))
				}
				return ids
			}
		}
		t.Fatal("no run has several orders")
		return nil
	}
	for _, c := range []struct {
		name  string
		seed  uint64
		alter func(d *damage)
		found string
	}{
		{"a bound above the plan", 0, func(d *damage) {
			d.doc["bound"].(map[string]any)["money"] = total(d, "money") + 100
			d.doc["gap_percent"] = -100 * 100 / (total(d, "money") + 100)
		}, "the bound is"},
		{"a bound of more runs", 0, func(d *damage) { d.doc["bound"].(map[string]any)["runs"] = total(d, "runs") + 1 }, "the bound is"},
		{"a bound of more web", 0, func(d *damage) { d.doc["bound"].(map[string]any)["web_m"] = total(d, "web_m") + 1 }, "the bound is"},
		{"a bound of more minutes", 0, func(d *damage) { d.doc["bound"].(map[string]any)["press_min"] = total(d, "press_min") + 1 }, "the bound is"},
		{"a lower bound at the same gap", 0, func(d *damage) { add(d, -100, [2]string{"bound", "money"}) }, "the gap is"},
		{"proved with a gap", 6, func(d *damage) { d.doc["proved"] = !d.doc["proved"].(bool) }, "proved "},
		{"alone for more", 0, func(d *damage) { add(d, 3, [2]string{"alone", "money"}, [2]string{"alone", "saved_money"}) }, "every order alone"},
		{"alone for less", 2, func(d *damage) { add(d, -3, [2]string{"alone", "money"}, [2]string{"alone", "saved_money"}) }, "every order alone"},
		{"all lanes turned about", 0, func(d *damage) {
			for _, g := range d.doc["groups"].([]any) {
				turn(g)
			}
			for _, run := range d.doc["runs"].([]any) {
				for _, o := range run.(map[string]any)["orders"].([]any) {
					turn(o)
				}
			}
		}, "comes first"},
		{"mixed lanes turned about", 9, func(d *damage) {
			for _, g := range d.doc["groups"].([]any) {
				turn(g)
			}
		}, "comes first"},
		{"wound up once more", 0, func(d *damage) { d.r.House.Press.Finishing.Windings, d.r.Presses[0].Finishing.Windings = 1, 1 }, "comes first"},
		{"less is taken", 6, func(d *damage) {
			d.r.Scrap, d.r.Overs = false, new(geometry.Share(0))
			for i := range d.all {
				d.all[i].Overs = nil
			}
		}, "are taken"},
		{"scrap is asked for", 6, func(d *damage) {
			d.r.Scrap, d.r.Overs = true, new(geometry.Share(0))
			for i := range d.all {
				d.all[i].Overs = nil
			}
		}, "are scrap"},
		{"splices cost more", 6, func(d *damage) { d.r.House.Press.Prices.PerSplice, d.r.Presses[0].Prices.PerSplice = 1, 1 }, "splices cost"},
		{"sorting costs more", 13, func(d *damage) { d.r.House.Press.Prices.PerSorted, d.r.Presses[0].Prices.PerSorted = 1, 1 }, "sorting cost"},
		{"no lane is mixed", 9, func(d *damage) { d.r.Mixed = false }, "lanes"},
		{"apart", 0, func(d *damage) { d.r.Pins.Apart = [][]string{first(d)[:2]} }, "are apart"},
		{"together", 0, func(d *damage) { d.r.Pins.Together = [][]string{first(d)[:2]} }, "is together with"},
		{"taken out", 0, func(d *damage) { d.r.Pins.TakenOut = first(d)[:1] }, "is taken out"},
		{"together no longer", 11, func(d *damage) { d.r.Pins = night.Pins{} }, "is together with"},
	} {
		all, r := wished(t, c.seed)
		d := damageOf(t, all, r)
		c.alter(d)
		if list := strings.Join(d.faults(t), "\n"); !strings.Contains(list, c.found) {
			t.Errorf("%s: %q is not found: %s", c.name, c.found, list)
		}
	}
}

// TestCheckerFindsTheBoundsFigures alters the metres, minutes and runs that no plan
// undercuts: where all runs print at one speed each of them is found.
func TestCheckerFindsTheBoundsFigures(t *testing.T) {
	all, r := wished(t, 0)
	r.Presses = nil
	for i := range all {
		all[i].Inks = []string{"C", "M", "Y", "K"}
	}
	d := damageOf(t, all, r)
	bound := d.doc["bound"].(map[string]any)
	for _, key := range []string{"web_m", "press_min", "runs"} {
		was := bound[key].(float64)
		for _, other := range []float64{was + 1, was - 1, was * 0.9} {
			if bound[key] = other; len(d.faults(t)) == 0 {
				t.Errorf("%s: %g for %g is not found", key, other, was)
			}
		}
		bound[key] = was
	}
}
