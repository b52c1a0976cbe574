package plan

import (
	"cmp"

	"quoin/geometry"
	"quoin/impose/night"
)

// share says what of each order is due from each run: all that a run makes,
// until the order is met. So overs fall to an order's last run.
func (p *Plan) share() {
	open, made, times := map[int]int64{}, map[int]int64{}, map[int]int{} // by the order's place in the file
	for i := range p.Runs {
		for _, s := range p.Runs[i].Orders {
			n := s.order.Index
			printed := p.printedOf(s.Order)
			open[n], made[n] = s.order.Quantity-printed, printed
			times[n]++
		}
	}
	for i := range p.Runs {
		run := &p.Runs[i]
		first := int64(0) // station of the order, from 0
		for k := range run.Orders {
			s := &run.Orders[k]
			s.Trimmed = run.trimmed(s)
			s.Ordered = min(s.Labels-s.Trimmed, open[s.order.Index])
			open[s.order.Index] -= s.Ordered
			s.Overs = s.Labels - s.Trimmed - s.Ordered
			s.Split = times[s.order.Index] > 1
			if limit := s.order.Limit; limit > 0 && p.rules.Scrap {
				before := max(made[s.order.Index]-limit, 0)
				s.Scrap = max(made[s.order.Index]+s.Labels-s.Trimmed-limit, 0) - before
			}
			made[s.order.Index] += s.Labels - s.Trimmed
			s.LabelsPerRoll = s.order.PerRoll
			if rows := int64(run.Rows); first%rows == 0 && s.Stations%rows == 0 {
				s.countRolls(run, s.Stations/rows, cmp.Or(s.order.Splices, p.rules.House.Roll.Splices))
			}
			first += s.Stations
		}
	}
	p.noteLastFrames(made)
}

// printedOf counts the labels of an order that are printed already.
func (p *Plan) printedOf(order string) int64 { return labelsOf(p.Printed, order) }

// trimmed returns the labels of a share that come off with the ends of its rolls,
// where each begins with a new repeat: nobody gets them.
func (run *Run) trimmed(s *Share) int64 {
	return s.Labels - run.group.good(s.order, s.Labels, s.Stations/int64(run.Rows)*run.Frames)
}

// countRolls says what comes off the finishing line of so many whole lanes; their
// rests are joined only where the house allows splices in so many words. Of
// mixed lanes the rolls can't be told before they are sorted.
func (s *Share) countRolls(run *Run, whole int64, splices *bool) {
	switch {
	case s.LabelsPerRoll == 0:
		return
	case run.group.roll > 0: // each roll begins with a new repeat
		s.Rolls, s.PartRolls = whole*(run.Frames/run.group.roll), 0
		return
	}
	lanes := make([]geometry.Piece, whole)
	for i := range lanes {
		lanes[i] = geometry.Piece{Lane: i + 1, Labels: run.Frames * int64(run.Rows)}
	}
	most := 0
	if splices != nil && *splices {
		most = int(whole)
	}
	if c, err := geometry.CountRolls(lanes, s.LabelsPerRoll, most); err == nil {
		s.Rolls, s.PartRolls = c.Rolls(), int64(len(c.Parts))
		s.splices = 0
		for _, roll := range c.Spliced {
			s.splices += int64(len(roll) - 1)
		}
	}
}

// sum adds up the runs and sets them beside the bounds.
func (p *Plan) sum() {
	var all, alone spent
	orders := printedIn(p)
	for i := range p.Runs {
		run := &p.Runs[i]
		all = all.plus(run.group.run(run.Frames))
		for _, s := range run.Orders {
			p.Total.Ordered += s.Ordered
			p.Total.Labels += s.Labels
			p.Total.Overs += s.Overs
			p.Total.Trimmed += s.Trimmed
			p.Total.Scrap += s.Scrap
		}
	}
	var cost, bound int64
	p.Proved = true
	for _, g := range p.groups {
		alone = alone.plus(apart{g, p.rules}.takes(orders))
		cost += g.plan.Cost
		bound += g.bounds.Cost
		p.Bound.Runs += g.bounds.Runs
		p.Proved = p.Proved && g.bounds.Proved
		web, minutes := least{g, p.rules}.bound()
		p.Bound.WebM += web
		p.Bound.PressMin += minutes
	}
	if bound > 0 {
		p.GapPercent = 100 * float64(cost-bound) / float64(bound)
	}
	t := &p.Total
	t.Runs, t.Orders = all.runs, len(orders)
	t.WebNetM, t.SetupM, t.WebM = all.net.Metres(), all.setup.Metres(), all.gross.Metres()
	t.RunWasteM, t.PressMin = (all.gross - all.net - all.setup).Metres(), all.minutes
	t.FinishMin = all.finish
	p.Alone = Alone{
		Runs: alone.runs, WebM: alone.gross.Metres(), PressMin: alone.minutes, SavedRuns: alone.runs - all.runs,
		SavedWebM: (alone.gross - all.gross).Metres(), SavedPressMin: alone.minutes - all.minutes,
	}
	if alone.gross > 0 {
		p.Alone.SavedWebPercent = 100 * float64(alone.gross-all.gross) / float64(alone.gross)
	}
	if p.money() {
		reckonMoney(p)
	}
}

// least is what no plan of a group undercuts.
type least struct {
	group *group
	rules *night.Rules
}

// bound returns metres of web and minutes that no plan of the group undercuts:
// that of its measure as the search proved it, the other from the least length
// and the least runs.
func (l least) bound() (web, minutes float64) {
	g, r := l.group, l.rules
	length := geometry.Length(g.bounds.Length) * g.forme().Layout.Repeat
	gross := g.terms.RunWaste.MoreLength(length) + geometry.Length(g.bounds.Runs)*g.terms.Setup
	web = gross.Metres()
	if r.By == night.Web {
		// A set-up that costs nothing is counted as a nanometre, see problem.
		web = max(web, min(geometry.Length(g.bounds.Cost).Metres(), g.takes(&g.plan).gross.Metres()))
	}
	if g.terms.Speed > 0 {
		minutes = web/g.terms.Speed.Metres() + float64(g.bounds.Runs)*g.terms.SetupMin
	}
	if r.By == night.Minutes { // by money neither is what was searched for
		minutes = max(minutes, min(float64(g.bounds.Cost)/nanosPerMinute, g.takes(&g.plan).minutes))
	}
	return web, minutes
}
