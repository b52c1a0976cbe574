package plan

import (
	"encoding/json"
	"fmt"
	"testing"

	"quoin/geometry/trials"
	"quoin/impose/night"
)

// begun returns what each press stands set up with, by the run that it printed last, and
// counts the labels that are there already.
func (c *nightCheck) begun() map[string]*seenRun {
	last := map[string]*seenRun{}
	c.printed = map[string]int64{}
	for i := range c.Printed {
		run := &c.Printed[i]
		if !c.Groups[run.Group-1].Printed {
			c.fault("%s is printed, its group is not", run.Name)
		}
		if before := last[run.Press]; before == nil || run.End >= before.End {
			last[run.Press] = run
		}
		for _, o := range run.Orders {
			c.printed[o.Order] += o.Labels - o.Trimmed
		}
	}
	return last
}

// still lists the runs that an order is to be printed in.
func (c *nightCheck) still(order string) (names []string) {
	for i := range c.Runs {
		for _, o := range c.Runs[i].Orders {
			if o.Order == order {
				names = append(names, c.Runs[i].Name)
			}
		}
	}
	return names
}

// replanFaults checks the JSON of a plan that was made again at a time: its own figures,
// and that what had begun stands in it word for word as in the plan before, with its money.
func replanFaults(t *testing.T, before, after *Plan, lines []string, r *night.Rules, at string) (list []string) {
	t.Helper()
	text, err := json.Marshal(after)
	if err != nil {
		t.Fatal(err)
	}
	list = nightFaults(text, horizonFile(t, lines), r)
	type document struct {
		Runs, Printed, Groups []map[string]any
		Replan                struct {
			Anew     bool
			MadeAnew int64 `json:"made_anew_money"`
			Printed  int
		}
		Total, Bound struct{ Money int64 }
	}
	var was, now document
	old, err := json.Marshal(before)
	for _, x := range []struct {
		text []byte
		doc  *document
	}{{old, &was}, {text, &now}} {
		if err == nil {
			err = json.Unmarshal(x.text, x.doc)
		}
	}
	if err != nil {
		t.Fatal(err)
	}
	words := func(doc *document, run map[string]any) string {
		group := map[string]any{}
		for k, v := range doc.Groups[int(run["group"].(float64))-1] {
			group[k] = v
		}
		delete(group, "group")
		delete(group, "printed")
		own := map[string]any{}
		for k, v := range run {
			own[k] = v
		}
		own["group"] = group
		out, _ := json.Marshal(own)
		return string(out)
	}
	held := map[string]string{}
	for _, run := range was.Runs {
		if run["start"].(string) <= at {
			held[run["name"].(string)] = words(&was, run)
		}
	}
	for _, run := range now.Printed {
		name := run["name"].(string)
		if held[name] != words(&now, run) {
			list = append(list, fmt.Sprintf("%s is printed otherwise than it was planned", name))
		}
		delete(held, name)
	}
	if len(held) > 0 || now.Replan.Printed != len(now.Printed) {
		list = append(list, fmt.Sprintf("%d runs are printed, %d told; not held are %v", len(now.Printed), now.Replan.Printed, held))
	}
	if now.Replan.Anew && now.Replan.MadeAnew != now.Total.Money || now.Replan.MadeAnew < now.Bound.Money {
		list = append(list, fmt.Sprintf("made anew it is %d, anew %v, of %d with the bound %d", now.Replan.MadeAnew, now.Replan.Anew, now.Total.Money, now.Bound.Money))
	}
	return list
}

// TestBillsOfPlansMadeAgain proves the bills of plans that are made again when one of
// their runs has begun, with new orders.
func TestBillsOfPlansMadeAgain(t *testing.T) {
	for seed := range trials.Number(t, "QUOIN_AGAIN", 8, 60) {
		lines, r := horizon(t, 100+seed)
		before := made(t, horizonFile(t, lines), r)
		if len(before.Runs) == 0 {
			continue
		}
		at := before.Runs[seed%len(before.Runs)].Start
		lines = append(lines, "new,"+lines[0][3:])
		after := again(t, before, lines, r, at)
		for _, fault := range replanFaults(t, before, after, lines, r, at) {
			t.Errorf("case %d at %s: %s", seed, at, fault)
		}
		damageMoney(t, before, after, lines, r, at)
	}
}

// damageMoney alters the money of printed runs and of the plan made anew: that is found.
func damageMoney(t *testing.T, before, after *Plan, lines []string, r *night.Rules, at string) {
	t.Helper()
	find := func(what string, money *int64) {
		*money++
		if len(replanFaults(t, before, after, lines, r, at)) == 0 {
			t.Errorf("%s: a unit more is not found", what)
		}
		*money--
	}
	for i := range after.Printed {
		run := &after.Printed[i]
		if was := before.Runs[i].Money; was == run.Money {
			t.Fatal("both plans hold the same money")
		}
		find(run.Name, run.Money)
	}
	for i := range after.Runs {
		find(after.Runs[i].Name, after.Runs[i].Money)
	}
	find("the night", after.Total.Money)
	if after.Replan.Anew {
		find("made anew", &after.Replan.MadeAnew)
	}
}
