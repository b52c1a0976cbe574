package plan

import (
	"cmp"
	"slices"

	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/say"
)

// Whole rolls. A lane of a run that ends inside a roll leaves a rest, which is
// waste where rolls may not be spliced. With Rules.WholeRolls every run is as
// long as a whole number of rolls, so that every lane gives whole rolls: orders
// share a run only if their rolls take as many frames, and an order's need is
// that of its rolls, each of which begins with a new repeat.

// need returns the frames of one lane that meet the order, when a lane yields each
// labels in a frame.
func (g *group) need(o *intake.Order, each int64, r *night.Rules) int64 {
	if g.roll > 0 {
		return o.Rolls() * g.roll
	}
	return (o.Quantity - o.Printed + each - 1) / each
}

// good returns how many of an order's labels are delivered, of so many in so many
// frames of a lane: whole rolls leave out what comes off with their ends.
func (g *group) good(o *intake.Order, labels, frames int64) int64 {
	if g.roll == 0 || o.PerRoll == 0 {
		return labels
	}
	return frames / g.roll * o.PerRoll
}

// apart is the orders of a group, each in a run of its own.
type apart struct {
	group *group
	rules *night.Rules
}

// frames returns the least frames of the order in a run of its own under the
// night's rules: in as many lanes as its limit of labels allows, not under the
// least run, and in whole rolls where they are asked for. One lane always keeps
// what the planner has found possible.
func (a apart) frames(o *intake.Order, places, each int64) int64 {
	g, r := a.group, a.rules
	need, step := g.need(o, each, r), max(g.roll, 1)
	repeat := g.forme().Layout.Repeat
	least := int64((r.LeastRun + repeat - 1) / repeat)
	most := int64(0)
	if o.Limit > 0 && !r.Scrap {
		most = max(need, (o.Limit-o.Printed)/each)
	}
	best := int64(0)
	for lanes := int64(1); lanes <= places; lanes++ {
		frames := max((need+lanes-1)/lanes, least)
		frames = (frames + step - 1) / step * step
		if (most == 0 || lanes*frames <= most) && (best == 0 || frames < best) {
			best = frames
		}
	}
	if best == 0 {
		return max(need, least)
	}
	return best
}

// inRolls returns orders as they are printed in a group whose lanes end with a roll
// after so many frames, or anywhere.
func inRolls(orders []*intake.Order, frames int64) []*intake.Order {
	out := slices.Clone(orders)
	for i, o := range out {
		if o.RollFrames != frames {
			other := *o
			other.RollFrames = frames
			out[i] = &other
		}
	}
	return out
}

// rests notes the orders that get fewer whole rolls than they have labels for,
// where nobody allows to splice their rests.
func (p *Plan) rests() {
	if p.rules.Mixed {
		return
	}
	full, parts, of := map[int]int64{}, map[int]int64{}, map[int]*intake.Order{}
	for i := range p.Runs {
		for _, s := range p.Runs[i].Orders {
			if may := cmp.Or(s.order.Splices, p.rules.House.Roll.Splices); may != nil && *may {
				continue
			}
			n := s.order.Index
			of[n] = s.order
			full[n] += s.Rolls
			parts[n] += s.PartRolls
		}
	}
	orders, rests := 0, int64(0)
	for at, n := range parts {
		if o := of[at]; o.LabelsPerRoll > 0 && full[at] < (o.Quantity-p.printedOf(o.ID))/o.LabelsPerRoll {
			orders++
			rests += n
		}
	}
	if orders > 0 {
		p.Notes = append(p.Notes, night.NoteOn("", night.PartRolls, "lanes of %s end inside a roll: %s in place of whole ones "+
			"(allow splices in the job file or the order's column, or plan with --rolls whole)", say.Count(orders, "order"), say.Count(int(rests), "part roll")))
	}
}
