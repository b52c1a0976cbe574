package plan

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

// seenShares is what a checker of turns, overs and rolls reads of a plan's JSON.
type seenShares struct {
	printed map[string]int64 // labels of each order that are there already
	Groups  []struct {
		Turn   int   `json:"turn_deg"`
		Frames int64 `json:"roll_frames"`
	}
	Runs []struct {
		Name, Press string
		Group       int
		Frames      int64
		Rows        int64
		Parts       []seenPart
		Orders      []*seenShare
	}
}

type seenShare struct {
	Order                                            string
	Lanes, Stations, Labels, Ordered, Overs, Trimmed int64
	PerRoll                                          int64 `json:"labels_per_roll"`
	Rolls                                            int64
	PartRolls                                        int64 `json:"part_rolls"`
	Turn                                             *int  `json:"turn_deg"`
	joints                                           int64
}

// spliceRests lays the rests of an order's lanes one behind the other, always the longest
// first, until no roll can be filled: so many rolls are filled, pieces left and
// joints made.
func spliceRests(lanes, rest, each int64) (rolls, left, joints int64) {
	pieces := slices.Repeat([]int64{rest}, int(lanes))
	if rest == 0 {
		return 0, 0, 0
	}
	for {
		sum := int64(0)
		for _, p := range pieces {
			sum += p
		}
		if sum < each {
			return rolls, int64(len(pieces)), joints
		}
		for room := each; room > 0; joints++ {
			slices.Sort(pieces)
			last := len(pieces) - 1
			if pieces[last] > room {
				pieces[last] -= room
				room = 0
				continue
			}
			room -= pieces[last]
			pieces = pieces[:last]
		}
		rolls, joints = rolls+1, joints-1
	}
}

// sortedLabels counts the labels in lanes in which more than one order stands, or an
// order and blank places: those are told apart by hand. Orders fill lane after lane.
func sortedLabels(rows, frames int64, orders []*seenShare) (n int64) {
	var lanes []map[string]int64
	place := int64(0)
	for _, o := range orders {
		for range o.Stations {
			if place%rows == 0 {
				lanes = append(lanes, map[string]int64{})
			}
			lanes[place/rows][o.Order]++
			place++
		}
	}
	for _, lane := range lanes {
		full := int64(0)
		for _, k := range lane {
			full += k
		}
		if len(lane) > 1 || full < rows {
			n += full * frames
		}
	}
	return n
}

// sharesOf reads them.
func sharesOf(t testing.TB, p *Plan) *seenShares {
	t.Helper()
	text, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	s := &seenShares{}
	if err := json.Unmarshal(text, s); err != nil {
		t.Fatal(err)
	}
	return s
}

// faults proves turns, overs and rolls without the planner's code: rolls come from
// lanes by division, lanes whose rolls pay out with the top or the bottom first are
// turned by 180 degrees against each other, and what is made is what is ordered,
// what comes off with the rolls' ends, and overs. Orders are spliced where they or the
// house say so. Of mixed lanes, those of one order alone are wound into its rolls.
func (s *seenShares) faults(all []job.Order, r *night.Rules) (list []string) {
	fault := func(form string, args ...any) { list = append(list, fmt.Sprintf(form, args...)) }
	orders, press := map[string]*job.Order{}, map[string]*job.Press{}
	for i := range all {
		orders[all[i].ID] = &all[i]
	}
	for _, p := range append([]*job.Press{r.House.Press}, r.Presses...) {
		press[p.Name] = p
	}
	ordered, units := map[string]int64{}, smallest(r)
	for _, run := range s.Runs {
		g := s.Groups[run.Group-1]
		var full, parts, overs, joints, first, sorted int64
		turns := map[string]int{}
		for _, o := range run.Orders {
			x := orders[o.Order]
			ordered[o.Order] += o.Ordered
			overs += o.Overs
			if o.Labels != o.Ordered+o.Overs+o.Trimmed || o.Overs < 0 || o.Trimmed < 0 {
				fault("%s: %s: %d labels are not %d ordered, %d over and %d trimmed", run.Name, o.Order, o.Labels, o.Ordered, o.Overs, o.Trimmed)
			}
			perLane, each := run.Frames*run.Rows, x.LabelsPerRoll
			wantFull, wantParts := int64(0), int64(0)
			lanes := o.Stations / run.Rows
			if o.Stations%run.Rows+first%run.Rows != 0 {
				lanes = 0
			}
			first += o.Stations
			switch {
			case each == 0 || lanes == 0:
			case g.Frames > 0:
				wantFull = lanes * (run.Frames / g.Frames)
				if g.Frames*run.Rows < each || run.Frames%g.Frames != 0 {
					fault("%s: %d frames of %d rows are no rolls of %d", run.Name, g.Frames, run.Rows, each)
				}
			default:
				if wantFull = lanes * (perLane / each); perLane%each != 0 {
					wantParts = lanes
				}
				if may := cmp.Or(x.Splices, r.House.Roll.Splices); may != nil && *may {
					var n int64
					n, wantParts, o.joints = spliceRests(lanes, perLane%each, each)
					wantFull += n
				}
			}
			joints += o.joints
			if o.PerRoll != each || o.Rolls != wantFull || o.PartRolls != wantParts {
				fault("%s: %s: %d rolls of %d and %d part rolls, %d of %d and %d are right", run.Name, o.Order, o.Rolls, o.PerRoll, o.PartRolls, wantFull, each, wantParts)
			}
			full, parts = full+o.Rolls+o.PartRolls, parts+o.PartRolls
			turn := g.Turn
			if o.Turn != nil {
				turn = *o.Turn
			}
			lead := x.Winding.String()
			if before, known := turns[lead]; known && before != turn {
				fault("%s: %s is turned %d degrees, another of the same winding %d", run.Name, o.Order, turn, before)
			}
			turns[lead] = turn
		}
		for a, turn := range turns {
			for b, other := range turns {
				if a != b && strings.Contains(a, "top") != strings.Contains(b, "top") && (turn-other+360)%360 != 180 {
					fault("%s: lanes of %s and %s are turned %d and %d degrees", run.Name, a, b, turn, other)
				}
			}
		}
		if r.Mixed {
			sorted = sortedLabels(run.Rows, run.Frames, run.Orders)
		}
		paid := map[string]int64{}
		for _, part := range run.Parts {
			paid[part.Item] = part.Money
		}
		prices := press[run.Press].Prices
		for item, want := range map[string]float64{"rolls": float64(full) * prices.PerRoll, "part rolls": float64(parts) * prices.PerPartRoll, "overs": float64(overs) * prices.PerOver,
			"splices": float64(joints) * prices.PerSplice, "sorting": float64(sorted) * prices.PerSorted} {
			if math.Abs(float64(paid[item])-units*want) > 1.01 {
				fault("%s: %s cost %d, %.2f is right", run.Name, item, paid[item], units*want)
			}
		}
	}
	for id, n := range ordered {
		if want := orders[id].Quantity - s.printed[id]; n != want {
			fault("order %s: %d labels are due from its runs, %d are ordered", id, n, want)
		}
	}
	return list
}

// TestCheckerOfSharesFindsFaults: what is altered in a right plan is found.
func TestCheckerOfSharesFindsFaults(t *testing.T) {
	r := nighttest.MoneyRules(t)
	r.House.Dies, r.Day = nighttest.Dies(t), time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)
	for _, p := range []*job.Press{r.House.Press, r.Presses[0]} {
		p.Prices.PerOver = 0.01
	}
	all := nighttest.Orders(t, "order,quantity,label,material,inks,winding,labels-per-roll\n"+
		"A,20000,50x75mm,film,\"C,M,Y,K\",\"face out, top leads\",1000\nB,20500,50x75mm,film,\"C,M,Y,K\",\"face out, bottom leads\",1000\nC,900,50x75mm,film,\"C,M,Y,K\",\"face out, top leads\",1000\n")
	p := made(t, all, r)
	both := false
	for _, run := range sharesOf(t, p).Runs {
		turns := map[int]bool{}
		for _, o := range run.Orders {
			if o.Turn != nil {
				turns[*o.Turn] = true
			}
		}
		both = both || len(turns) > 1
	}
	if list := sharesOf(t, p).faults(all, r); len(list) > 0 || !both {
		t.Fatalf("faults %q; lanes of both turns %v", list, both)
	}
	for name, alter := range map[string]func(s *seenShares, o *seenShare){
		"due from its runs": func(_ *seenShares, o *seenShare) { o.Ordered--; o.Overs++ },
		"labels are not":    func(_ *seenShares, o *seenShare) { o.Trimmed++ },
		"part rolls":        func(_ *seenShares, o *seenShare) { o.PartRolls++ },
		"rolls of":          func(_ *seenShares, o *seenShare) { o.Rolls++ },
		"overs cost":        func(_ *seenShares, o *seenShare) { o.Overs += 10 },
		"degrees":           func(_ *seenShares, o *seenShare) { o.Turn = new(90) },
		"rolls cost":        func(s *seenShares, _ *seenShare) { s.Runs[0].Parts = nil },
		"are no rolls of":   func(s *seenShares, _ *seenShare) { s.Groups[s.Runs[0].Group-1].Frames = 1 },
	} {
		s := sharesOf(t, p)
		for i := range s.Runs {
			if len(s.Runs[i].Orders) > 1 {
				s.Runs[0], s.Runs[i] = s.Runs[i], s.Runs[0]
				break
			}
		}
		alter(s, s.Runs[0].Orders[0])
		if list := strings.Join(s.faults(all, r), "\n"); !strings.Contains(list, name) {
			t.Errorf("%q is not found: %s", name, list)
		}
	}
}
