package plan

import (
	"cmp"
	"context"
	"slices"

	"quoin/geometry"
	"quoin/geometry/gang"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// MakeAfter plans nights again of which an earlier plan is partly printed. Runs
// whose orders still stand are kept, in their order; new orders fill their blank
// lanes, or get runs of their own. Only where that leaves orders out or more runs
// late, or the plan made anew is worth it, everything open is planned anew. The
// plan says what changed.
func MakeAfter(ctx context.Context, orders []job.Order, r *night.Rules, b *Before) (*Plan, error) {
	if err := r.Pins.Check(orders); err != nil {
		return nil, err
	}
	mine := *r
	r = &mine
	r.SetUp = b.stands(r)
	in, err := intake.Take(ctx, orders, r)
	if err != nil {
		return nil, err
	}
	b.apply(in)
	waits, err := waiting(ctx, in, r)
	if err != nil {
		return nil, err
	}
	in.Wait(waits)
	anew, err := b.lay(ctx, nil, in.Orders, in, r)
	if err != nil {
		return nil, err
	}
	groups, rest := b.keep(ctx, in.Orders, r)
	if len(groups) == 0 {
		untried{anew, in}.tell()
		anew.Replan = b.changes(anew, anew)
		reckonAlone(anew)
		return anew, nil
	}
	kept, err := b.lay(ctx, groups, rest, in, r)
	if err != nil {
		return nil, err
	}
	kept.joint.Bound, kept.joint.Visits, kept.joint.Least = anew.joint.Bound, anew.joint.Visits, anew.joint.Least
	boundMoney(kept)
	p := kept
	saved := *kept.Total.Money - *anew.Total.Money
	switch {
	case len(overdrawn(kept.groups)) > 0, kept.LeftOut() > anew.LeftOut(), lateMin(kept) > lateMin(anew)+1, b.Anew > 0 && saved >= b.Anew:
		p = anew
	}
	untried{p, in}.tell()
	p.Replan = b.changes(p, anew)
	reckonAlone(p)
	return p, nil
}

// lay plans orders beside groups that are kept.
func (b *Before) lay(ctx context.Context, kept []*group, orders []*intake.Order, in *intake.Taken, r *night.Rules) (*Plan, error) {
	mine := *in
	mine.Orders, mine.LeftOut = orders, slices.Clone(in.LeftOut)
	c := &picked{before: b}
	if len(orders) > 0 {
		var err error
		if c, err = pick(ctx, orders, r); err != nil {
			return nil, err
		}
		c.before = b
		c.beat(&mine, r)
		if err := c.outdo(ctx, &mine, r); err != nil {
			return nil, err
		}
		if err := c.keepDays(ctx, kept, &mine, r); err != nil {
			return nil, err
		}
		mine.LeftOut = append(mine.LeftOut, c.left...)
	}
	c.groups = slices.Concat(kept, c.groups)
	return lay(c, &mine, r), ctx.Err()
}

// lateMin is how late all runs are together.
func lateMin(p *Plan) (sum float64) {
	for i := range p.Runs {
		sum += p.Runs[i].LateMin
	}
	return sum
}

// keep makes groups of the runs whose orders still stand, those of one old group
// together, and returns what is to be planned beside them.
func (b *Before) keep(ctx context.Context, orders []*intake.Order, r *night.Rules) (groups []*group, rest []*intake.Order) {
	byID := map[string]*intake.Order{}
	for _, o := range orders {
		byID[o.ID] = o
	}
	of := map[int][]int{} // old group: its runs that stand
	var numbers []int
	for i := range b.Runs {
		if g := b.Runs[i].Group; g >= 1 && g <= len(b.Groups) && stillWanted(&b.Runs[i], byID, r) {
			if of[g] == nil {
				numbers = append(numbers, g)
			}
			of[g] = append(of[g], i)
		}
	}
	made := map[int]int64{} // labels of kept runs, by the order's place
	for _, n := range numbers {
		g, err := b.group(n, of[n], byID, r)
		if err != nil {
			continue
		}
		for k, o := range g.orders {
			_, each := g.places(r)
			for _, run := range g.plan.Runs {
				for _, s := range run.Shares {
					if s.Order == k {
						made[o.Index] += g.good(o, s.Lanes*each*run.Length, s.Lanes*run.Length)
					}
				}
			}
		}
		groups = append(groups, g)
	}
	for _, o := range orders {
		if o.Printed+made[o.Index] < o.Quantity {
			left := *o
			left.Printed += made[o.Index]
			rest = append(rest, &left)
		}
	}
	rest = b.fill(groups, rest, r)
	for _, g := range groups {
		g.judge(ctx, r)
	}
	return groups, rest
}

// stillWanted reports whether a run can be printed as it was planned: each of its
// orders is there, and wants no less than it did.
func stillWanted(run *Run, byID map[string]*intake.Order, r *night.Rules) bool {
	for _, s := range run.Orders {
		o := byID[s.Order]
		if o == nil || o.Quantity < s.OrderQuantity || o.Quantity > s.OrderQuantity && o.Order.NoSplit {
			return false
		}
		for _, id := range r.Pins.With(s.Order) { // to be together
			if byID[id] != nil && !slices.ContainsFunc(run.Orders, func(x Share) bool { return x.Order == id }) {
				return false
			}
		}
	}
	return true
}

// group makes a group of an old group's runs; an error where it can't be printed so
// any more.
func (b *Before) group(number int, runs []int, byID map[string]*intake.Order, r *night.Rules) (*group, error) {
	old := &b.Groups[number-1]
	var orders []*intake.Order
	for _, i := range runs {
		for _, s := range b.Runs[i].Orders {
			o := byID[s.Order]
			if slices.ContainsFunc(orders, func(x *intake.Order) bool { return x.Index == o.Index }) {
				continue
			}
			at := slices.IndexFunc(o.Ways, func(f *intake.Forme) bool { return old.lays(f, r) })
			if at < 0 || o.Stock != old.Material {
				return nil, errGone
			}
			orders = append(orders, o.On(o.Ways[at], r))
		}
	}
	slices.SortFunc(orders, func(x, y *intake.Order) int { return cmp.Compare(x.Index, y.Index) })
	if old.RollFrames > 0 {
		orders = inRolls(orders, old.RollFrames)
	}
	g, err := newGroup(orders, r)
	if err != nil {
		return nil, err
	}
	for _, o := range orders {
		if o.SharesNoFrame() && len(orders) > 1 || g.bed(r) != bedOf(o.Stock, o.Forme, o.RollFrames, r) {
			return nil, errGone
		}
	}
	for _, i := range runs {
		run := gang.Run{Length: b.Runs[i].Frames}
		for _, s := range b.Runs[i].Orders {
			lanes := s.Lanes
			if r.Mixed {
				lanes = s.Stations
			}
			at := slices.IndexFunc(orders, func(o *intake.Order) bool { return o.ID == s.Order })
			run.Shares = append(run.Shares, gang.Share{Order: at, Lanes: lanes})
		}
		g.plan.Runs = append(g.plan.Runs, run)
		g.was = append(g.was, i+1)
	}
	return g, g.addUp(r)
}

// lays reports whether a forme lays as an old group did.
func (p *GroupPart) lays(f *intake.Forme, r *night.Rules) bool {
	press, l := f.Press, f.Layout
	if press == nil {
		press = r.House.Press
	}
	same := func(mm float64, x geometry.Length) bool { return millimetres(mm) == int64(x) }
	return press.Name == p.Press && same(p.WebMM, l.Web.Width) && f.Die == p.Die && (l.Turn.Degrees() == p.TurnDeg || slices.Contains(p.TurnsDeg, l.Turn.Degrees())) &&
		l.Around == p.Around && same(p.RepeatMM, l.Repeat) && (l.Across == p.Across || len(p.LabelsMM) > 0)
}

// addUp sets what the group's runs add up to; an error where they keep some rule no
// more.
func (g *group) addUp(r *night.Rules) error {
	p, left := g.problem(r)
	if len(left) > 0 {
		return errGone
	}
	made := make([]int64, len(p.Orders))
	g.plan.Length = 0
	for _, run := range g.plan.Runs {
		g.plan.Length += run.Length
		for _, s := range run.Shares {
			made[s.Order] += s.Lanes * run.Length
		}
	}
	g.plan.Cost = p.LengthCost*g.plan.Length + p.RunCost*int64(len(g.plan.Runs))
	for i := range made { // the rest of an order is planned beside them
		p.Orders[i].Demand = min(p.Orders[i].Demand, made[i])
	}
	return g.plan.Check(&p)
}

// judge finds what no plan of a kept group undercuts.
func (g *group) judge(ctx context.Context, r *night.Rules) {
	p, _ := g.problem(r)
	_, bounds, err := gang.Solve(ctx, p, gang.Limits{Steps: mergeSteps, Seed: r.Seed})
	if err != nil {
		return
	}
	g.bounds = bounds
	g.bounds.Cost, g.bounds.Runs = min(bounds.Cost, g.plan.Cost), min(bounds.Runs, len(g.plan.Runs))
	g.bounds.Length = min(bounds.Length, g.plan.Length)
	g.measure()
}

// fill puts whole orders into blank lanes of runs that are kept, the largest
// first, each where it wastes least, and returns the others. No run is printed
// earlier for it, in more inks, or longer.
func (b *Before) fill(groups []*group, rest []*intake.Order, r *night.Rules) (left []*intake.Order) {
	rest = slices.Clone(rest)
	slices.SortStableFunc(rest, func(x, y *intake.Order) int { return cmp.Compare(y.Quantity-y.Printed, x.Quantity-x.Printed) })
	for _, o := range rest {
		var into *group
		var as *intake.Order
		run, lanes, waste := 0, int64(0), int64(-1)
		for _, g := range groups {
			x := g.fits(o, r)
			if x == nil {
				continue
			}
			places, each := g.places(r)
			need := g.need(x, each, r)
			for k, planned := range g.plan.Runs {
				free := places
				for _, s := range planned.Shares {
					free -= s.Lanes
				}
				n := (need + planned.Length - 1) / planned.Length
				over := n*planned.Length - need
				mostIn := r.MostIn > 0 && len(planned.Shares) >= r.MostIn
				beyond := x.Limit > 0 && !r.Scrap && n*planned.Length*each > max(x.Limit-x.Printed, need*each)
				if n <= free && !mostIn && !beyond && b.inTime(g.was[k], o, g.press, r) && (waste < 0 || over < waste) {
					into, as, run, lanes, waste = g, x, k, n, over
				}
			}
		}
		if into == nil {
			left = append(left, o)
			continue
		}
		into.orders = append(into.orders, as)
		into.plan.Runs[run].Shares = append(into.plan.Runs[run].Shares, gang.Share{Order: len(into.orders) - 1, Lanes: lanes})
	}
	slices.SortFunc(left, func(x, y *intake.Order) int { return cmp.Compare(x.Index, y.Index) })
	return left
}

// fits returns the order as it lies in the group, where it may share its runs at
// their speed; nil where it may not.
func (g *group) fits(o *intake.Order, r *night.Rules) *intake.Order {
	pinned := func(set []string) bool { return slices.Contains(set, o.ID) }
	if slices.ContainsFunc(r.Pins.Together, pinned) || slices.ContainsFunc(r.Pins.Apart, pinned) {
		return nil
	}
	if o.SharesNoFrame() || g.alone() || widthsDiffer(g) || others(g.inks, o.PrintInks) > 0 || len(union(g.inks, o.PrintInks)) > len(g.inks)+len(o.PrintInks) {
		return nil
	}
	if slices.ContainsFunc(g.orders, func(x *intake.Order) bool { return x.Index == o.Index }) {
		return nil
	}
	for _, f := range o.Ways {
		if x := o.On(f, r); bedOf(x.Stock, f, x.RollFrames, r) == g.bed(r) {
			return x
		}
	}
	return nil
}

// inTime reports whether a kept run was to end by the order's day.
func (b *Before) inTime(was int, o *intake.Order, press *job.Press, r *night.Rules) bool {
	if o.Due.IsZero() || r.Day.IsZero() {
		return true
	}
	h := newHours(r.Day, press)
	end, err := parseClock(b.Runs[was-1].End)
	return err == nil && h.worked(end) <= h.due(o.Due)
}
