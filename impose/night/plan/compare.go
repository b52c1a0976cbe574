package plan

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// Variant is the night under one other rule.
type Variant struct {
	Rule         string  `json:"rule"`
	Runs         int     `json:"runs"`
	Orders       int     `json:"orders"` // planned; a rule may leave some out
	OfOrders     int     `json:"of_orders"`
	SameOrders   bool    `json:"same_orders"` // as the plan; only then do differences compare
	WebM         float64 `json:"web_m"`
	MaterialM2   float64 `json:"material_m2"`
	PressMin     float64 `json:"press_min"`
	MoreWebM     float64 `json:"more_web_m"` // than as asked
	MoreM2       float64 `json:"more_material_m2"`
	MorePressMin float64 `json:"more_press_min"`
	MoreMoney    *int64  `json:"more_money,omitempty"` // by money
	GapPercent   float64 `json:"gap_percent"`
	Proved       bool    `json:"proved"`
	// ProvedFor is what gap and proof hold for, as in the plan: of two variants
	// each has its own problem, and so its own bound.
	ProvedFor string `json:"proved_for,omitempty"`
	// Why is the most frequent reason of orders that only this rule leaves out.
	Why string `json:"why,omitempty"`

	WhyCode string `json:"-"` // of why, in a plan that was just made
}

// variant is a rule to compare with.
type variant struct {
	rule   string
	change func(*night.Rules)
}

// Compared plans the same orders under one other rule after the other and says
// what each costs or saves against the plan. Each has as long to search. Which later
// orders are printed early is as in the plan, or other orders would be compared.
func (p *Plan) Compared(ctx context.Context, orders []job.Order) error {
	p.Compare = []Variant{beside(p, "as asked", p)}
	list := variants(p.rules,
		anyOrder(p, func(o *intake.Order) bool { return o.Limit > 0 }), anyOrder(p, func(o *intake.Order) bool { return o.PerRoll > 0 }), p.widthsWouldShare())
	for i, v := range list {
		p.rules.Progress("comparing", i, len(list))
		r := *p.rules
		house := *r.House
		r.House, r.Tell, r.AllEarly, r.Without = &house, nil, true, slices.Clone(r.Without)
		for _, n := range p.Later {
			r.Without = append(r.Without, n.Order)
		}
		v.change(&r)
		other, err := Make(ctx, orders, &r, nil)
		if err != nil {
			return err
		}
		p.Compare = append(p.Compare, beside(p, v.rule, other))
	}
	p.Compare = append(p.Compare, aloneVariant(p))
	return nil
}

// aloneVariant sums up a run for every order. Each run is the shortest that the
// rules allow, so nothing is left to prove; the plan's own bound is that of
// another problem, in which orders may share runs.
func aloneVariant(p *Plan) Variant {
	alone := p.Alone
	v := Variant{
		Rule: "every order alone", Runs: alone.Runs, Orders: p.Total.Orders, OfOrders: p.Total.Orders + p.LeftOut(), SameOrders: true,
		WebM: alone.WebM, PressMin: alone.PressMin, MaterialM2: aloneM2(p),
		MoreWebM: alone.SavedWebM, MoreM2: aloneM2(p) - materialM2(p), MorePressMin: alone.SavedPressMin, Proved: true, MoreMoney: alone.SavedMoney,
	}
	return v
}

// variants lists the rules worth a look: limited says that a customer takes no
// more than so many labels, rolls that an order says how many are on a roll,
// widths that only widths keep orders apart.
func variants(r *night.Rules, limited, rolls, widths bool) []variant {
	var list []variant
	add := func(change func(*night.Rules), rule string, args ...any) {
		list = append(list, variant{fmt.Sprintf(rule, args...), change})
	}
	if r.Mixed {
		add(func(r *night.Rules) { r.Mixed = false }, "whole lanes")
	} else {
		add(func(r *night.Rules) { r.Mixed, r.Widths = true, false }, "orders mixed in a lane")
	}
	switch {
	case r.Widths:
		add(func(r *night.Rules) { r.Widths = false }, "labels of one width in a run")
	case widths:
		add(func(r *night.Rules) { r.Widths = true }, "labels of different widths in a run")
	}
	if r.NoSplit {
		add(func(r *night.Rules) { r.NoSplit = false }, "orders may be split")
	} else {
		add(func(r *night.Rules) { r.NoSplit = true }, "no order split")
	}
	switch {
	case r.WholeRolls:
		add(func(r *night.Rules) { r.WholeRolls = false }, "rolls may end anywhere in a lane")
	case !r.Mixed && rolls:
		add(func(r *night.Rules) { r.WholeRolls = true }, "whole rolls from every lane")
	}
	if limited && !r.Scrap {
		add(func(r *night.Rules) { r.Scrap = true }, "overs beyond the limit as scrap")
	}
	if r.MostIn > 0 {
		add(func(r *night.Rules) { r.MostIn = 0 }, "any number of orders in a run")
	}
	if r.LeastRun > 0 {
		add(func(r *night.Rules) { r.LeastRun = 0 }, "runs of any length")
	}
	if r.Pins.Any() {
		add(func(r *night.Rules) { r.Pins.Together, r.Pins.Apart = nil, nil }, "no orders pinned together or apart")
	}
	for _, width := range otherWebs(r) {
		add(func(r *night.Rules) { r.House.WebWidth, r.FreeWeb = width, false }, "a web of %s", width)
	}
	if dies := r.House.Dies; dies != nil {
		add(func(r *night.Rules) { r.House.Dies = nil }, "any straight layout, without a die")
		for _, d := range dies.Dies {
			if len(dies.Dies) > 1 && d.Condition != geometry.DieRetired {
				add(func(r *night.Rules) { r.House.Dies = dies.Only(d.Number) }, "die %s only", d.Number)
			}
		}
	}
	return list
}

// anyOrder reports whether some order of the plan is so.
func anyOrder(p *Plan, so func(*intake.Order) bool) bool {
	return slices.ContainsFunc(p.groups, func(g *group) bool { return slices.ContainsFunc(g.orders, so) })
}

// otherWebs returns the webs in the press's stock beside the one that is asked for.
func otherWebs(r *night.Rules) []geometry.Length {
	var out []geometry.Length
	if r.House.Press == nil {
		return nil
	}
	for _, w := range r.House.Press.Webs {
		if w != r.House.WebWidth || r.FreeWeb && r.By == night.Money {
			out = append(out, w)
		}
	}
	return out
}

// beside sums up another plan beside p.
func beside(p *Plan, rule string, other *Plan) Variant {
	v := Variant{
		Rule: rule, Runs: other.Total.Runs, Orders: other.Total.Orders, WebM: other.Total.WebM, MaterialM2: materialM2(other),
		PressMin: other.Total.PressMin, MoreWebM: other.Total.WebM - p.Total.WebM, MoreM2: materialM2(other) - materialM2(p),
		MorePressMin: other.Total.PressMin - p.Total.PressMin, GapPercent: other.GapPercent, Proved: other.Proved, ProvedFor: other.ProvedFor,
		OfOrders: other.Total.Orders + other.LeftOut(), SameOrders: maps.Equal(printedIn(p), printedIn(other)),
	}
	if p.Total.Money != nil && other.Total.Money != nil {
		v.MoreMoney = new(*other.Total.Money - *p.Total.Money)
	}
	v.WhyCode, v.Why = onlyLeftOut(p, other)
	return v
}

// printedIn returns the orders that stand in a run, by their places in the file.
func printedIn(p *Plan) map[int]bool {
	at := map[int]bool{}
	for i := range p.Runs {
		for _, s := range p.Runs[i].Orders {
			at[s.order.Index] = true
		}
	}
	return at
}

// onlyLeftOut returns the most frequent reason of orders that the other plan
// leaves out and this one does not, in the words of the first of them.
func onlyLeftOut(p, other *Plan) (code, text string) {
	here := map[string]bool{}
	for _, n := range p.Unplanned {
		here[n.Order] = true
	}
	times, first := map[string]int{}, map[string]string{}
	for _, n := range other.Unplanned {
		if here[n.Order] {
			continue
		}
		if times[n.Code]++; times[n.Code] == 1 {
			first[n.Code] = n.Text
		}
		if times[n.Code] > times[code] {
			code = n.Code
		}
	}
	return code, first[code]
}

// materialM2 gives the material that the night takes.
func materialM2(p *Plan) float64 {
	sum := 0.0
	for _, g := range p.groups {
		sum += square(g.takes(&g.plan).gross, g.forme().Layout.Web.Width)
	}
	return sum
}

func aloneM2(p *Plan) float64 {
	sum, printed := 0.0, printedIn(p)
	for _, g := range p.groups {
		sum += square(apart{g, p.rules}.takes(printed).gross, g.forme().Layout.Web.Width)
	}
	return sum
}

// square returns square metres.
func square(web, width geometry.Length) float64 { return web.Metres() * width.Metres() }
