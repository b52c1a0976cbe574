package plan

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/folder"
	"quoin/impose/night/intake"
	"quoin/impose/say"
)

// Make plans the night. Orders that can't be spent are in the plan with their
// reasons; an error is that of a cancelled context or of the disk. A night that
// is built in a folder takes over the search of an earlier start; f is nil for
// one that is planned only.
func Make(ctx context.Context, orders []job.Order, r *night.Rules, f *folder.Folder) (*Plan, error) {
	if err := r.Pins.Check(orders); err != nil {
		return nil, err
	}
	in, err := intake.Take(ctx, orders, r)
	if err != nil {
		return nil, err
	}
	c, err := solve(ctx, in, r, f)
	if err != nil {
		return nil, err
	}
	in.LeftOut = append(in.LeftOut, c.left...)
	p := lay(c, in, r)
	untried{p, in}.tell()
	reckonAlone(p)
	return p, nil
}

// lay turns solved groups into the plan.
func lay(c *picked, in *intake.Taken, r *night.Rules) *Plan {
	groups := c.groups
	p := &Plan{
		joint: c.joint, before: c.before, Days: c.days,
		Schema: Schema, Night: r.House.Name, Lanes: "whole", By: r.By,
		Unplanned: append([]night.Note{}, in.LeftOut...), Later: append([]night.Note{}, in.Later...), Notes: append([]night.Note{}, in.Remarks...), rules: r, groups: groups,
		Runs: []Run{}, Groups: []GroupPart{},
	}
	p.spare()
	if r.Pins.Any() || len(r.Pins.TakenOut) > 0 {
		p.Pins = &r.Pins
	}
	if r.Mixed {
		p.Lanes = "mixed"
	}
	if r.Widths {
		p.Widths = "mixed"
	}
	switch {
	case r.By == night.Money:
		p.ProvedFor = EveryWay
	case regrouped(groups, r):
		p.ProvedFor = TheseGroups
	case c.joint.Free && r.House.Dies == nil:
		p.ProvedFor = TheseTurns
	case c.joint.Free:
		p.ProvedFor = TheseDies
	}
	if len(in.Early) > 0 {
		p.ProvedFor = TheseOrders + say.Where(p.ProvedFor != "", ", %s", p.ProvedFor)
	}
	if !r.Day.IsZero() {
		p.Day = r.Day.Format(time.DateOnly)
	}
	for i, g := range groups {
		p.Groups = append(p.Groups, g.part(i+1))
		p.Runs = append(p.Runs, g.runs(i+1, r)...)
	}
	slices.SortStableFunc(p.Runs, func(a, b Run) int {
		return cmp.Or(cmp.Compare(b.priority, a.priority), cmp.Compare(dueLast(a.Due), dueLast(b.Due)))
	})
	if p.money() {
		p.price()
	}
	for i := range p.Runs {
		p.Runs[i].Run = i + 1
	}
	p.nameRuns()
	if p.before != nil {
		p.before.follow(p)
		p.before.hold(p)
	}
	p.parts()
	p.share()
	p.rests()
	p.sum()
	p.tellPins(in.Orders)
	if p.money() {
		tellLate(p)
		if len(p.Late) > 0 {
			p.ProvedFor += ", " + InMoney
		}
		p.unpriced()
	}
	return p
}

// price says where the runs are printed, and when.
func (p *Plan) price() {
	prices := p.rules.House.Press.Prices
	p.Currency, p.MoneyUnit = prices.Currency, 1/unit(prices.Currency)
	for i := range p.Runs {
		run := &p.Runs[i]
		x := run.group.forme()
		run.Press, run.WebMM, run.Die = run.group.press.Name, x.Layout.Web.Width.MM(), x.Die
	}
	for i, g := range p.groups {
		p.Groups[i].Press, p.Groups[i].WebMM = g.press.Name, g.forme().Layout.Web.Width.MM()
	}
	timetable(p)
}

// nameRuns numbers the runs so that their files sort as they are printed.
func (p *Plan) nameRuns() {
	digits := max(3, len(fmt.Sprint(len(p.Runs))))
	for i := range p.Runs {
		p.Runs[i].Name = fmt.Sprintf("run-%0*d", digits, i+1)
	}
}

// dueLast puts what is never due behind everything.
func dueLast(day string) string {
	if day == "" {
		return "9999-99-99"
	}
	return day
}

func (g *group) part(number int) GroupPart {
	sizes, widest := labelSizes(g)
	l := widest.Layout
	part := GroupPart{
		Group: number, Material: g.stock, Die: g.forme().Die,
		LabelMM: widest.SizeMM(), TurnDeg: l.Turn.Degrees(),
		Across: l.Across, Around: l.Around, RepeatMM: l.Repeat.MM(), Inks: append([]string{}, g.inks...),
		SpeedMPerMin: g.terms.Speed.Metres(), Orders: len(g.orders), Runs: len(g.plan.Runs),
		WebM: g.takes(&g.plan).gross.Metres(), GapPercent: g.bounds.GapPercent, Proved: g.bounds.Proved,
		Alone: g.alone(),
	}
	if len(sizes) > 1 {
		part.LabelsMM = sizes
	}
	part.RollFrames = g.roll
	if turns := g.turns(); len(turns) > 1 {
		part.TurnsDeg = turns
	}
	return part
}

// runs turns the group's plan into runs, the narrowest labels and then the orders
// with most lanes first.
func (g *group) runs(number int, r *night.Rules) []Run {
	l := g.forme().Layout
	places, each := g.places(r)
	differ := widthsDiffer(g)
	var out []Run
	for k, planned := range g.plan.Runs {
		takes := g.run(planned.Length)
		run := Run{
			Group: number, Frames: planned.Length, WebM: takes.net.Metres(), WebGrossM: takes.gross.Metres(),
			PressMin: takes.minutes, Lanes: l.Across, Rows: l.Around, RepeatMM: l.Repeat.MM(), group: g,
			BlankPlaces: int64(l.Labels()), UnusedLanes: g.forme().Unused,
		}
		if k < len(g.was) {
			run.was = g.was[k]
		}
		used := int64(0)
		for i, s := range planned.Shares {
			o := g.orders[s.Order]
			share := Share{
				Order: o.ID, Product: o.Product, Stations: s.Lanes * each, Labels: s.Lanes * each * planned.Length,
				Artwork: o.Artwork, SHA256: o.SHA256, OrderQuantity: o.Quantity, Priority: o.Priority, order: o,
			}
			if !r.Mixed {
				share.Lanes = s.Lanes
			}
			if differ {
				size := o.Forme.SizeMM()
				share.LabelMM = &size
			}
			share.With = g.pinnedWith(s.Order, planned.Shares, r)
			if o.Artwork != "" {
				share.Page = o.Page
			}
			if !o.Order.Due.IsZero() {
				share.Due = o.Order.Due.Format(time.DateOnly)
				if run.Due == "" || share.Due < run.Due {
					run.Due = share.Due
				}
			}
			if i == 0 || o.Priority > run.priority {
				run.priority = o.Priority
			}
			used += s.Lanes
			run.BlankPlaces -= share.Stations
			run.Orders = append(run.Orders, share)
		}
		run.turn(r.House)
		switch {
		case differ:
			run.Lanes, run.BlankPlaces, run.BandLeftMM = int(used), 0, bandLeft(g, &run)
		case !r.Mixed:
			run.BlankLanes = places - used
		}
		slices.SortStableFunc(run.Orders, func(a, b Share) int {
			// Lanes of one width stand together, so that the slitter has few distances.
			return cmp.Or(
				cmp.Compare(a.order.Forme.Layout.Label.Across, b.order.Forme.Layout.Label.Across),
				cmp.Compare(b.Stations, a.Stations), cmp.Compare(a.order.Index, b.order.Index))
		})
		if r.Mixed && !differ {
			wholeFirst(run.Orders, int64(run.Rows))
		}
		out = append(out, run)
	}
	return out
}
