package plan

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// ToolOffer is a cutting tool that is not there and whose price the night would pay:
// orders of its label, the dearest where there are many, cost less by more than that
// when they are planned by themselves. The plan never counts on it.
type ToolOffer struct {
	LabelMM  [2]float64 `json:"label_mm"` // across, around, upright
	TurnDeg  int        `json:"turn_deg"`
	Cylinder string     `json:"cylinder"`
	Lanes    int        `json:"lanes"`
	Rows     int        `json:"rows"`
	GapMM    [2]float64 `json:"gap_mm"` // across, around
	Orders   []string   `json:"orders"`
	Now      int64      `json:"now_money"`  // of those orders by themselves, with the tools that are there
	With     int64      `json:"with_money"` // with the tool too
	Price    int64      `json:"price_money"`
	Saves    int64      `json:"saves_money"` // beyond its price
}

// newTool is the number of a tool that is not there.
const newTool = "new tool"

// mostTools is for how many labels a tool is looked at: those that most is spent on.
const mostTools = 2

// mostFor is for how many orders of a label: those that most is spent on. What pays
// for them pays for all, and they are planned in little time.
const mostFor = 12

// toolTime is the part of the night's search that each plan for an offer gets: two for
// each label, which with what planning takes besides stay under a tenth of the night's.
const toolTime = 60

// form is what a tool is made for.
type form struct {
	label  geometry.Size
	shape  geometry.Shape
	orders []*intake.Order // the dearest first
	cost   map[int]int64   // on their runs, by their places in the order file
}

// spent is what the form's orders cost.
func (f *form) spent() (sum int64) {
	for _, o := range f.orders {
		sum += f.cost[o.Index]
	}
	return sum
}

// OfferTools says which tools would pay in these nights, by money where the press file
// says the price of one, and its cylinders. The orders are those that the plan was
// made of.
func (p *Plan) OfferTools(ctx context.Context, orders []job.Order) error {
	press := p.rules.House.Press
	if !p.money() || press.Prices.NewTool <= 0 || len(press.Finishing.Cylinders) == 0 || p.rules.House.Dies == nil {
		return nil
	}
	price := int64(math.Ceil(press.Prices.NewTool * unit(p.Currency)))
	forms := slices.DeleteFunc(p.forms(), func(f *form) bool { return f.spent()-f.least(p.rules) <= price })
	for _, f := range forms[:min(len(forms), mostTools)] {
		tool := f.tool(p.rules)
		if tool == nil {
			continue
		}
		offer, err := p.offer(ctx, f, tool, orders)
		if err != nil {
			return err
		}
		if offer.Price, offer.Saves = price, offer.Now-offer.With-price; offer.Saves > 0 {
			p.Tools = append(p.Tools, offer)
		}
	}
	slices.SortStableFunc(p.Tools, func(a, b ToolOffer) int { return cmp.Compare(b.Saves, a.Saves) })
	return nil
}

// forms lists the labels that are printed and what their orders cost, the dearest
// first. Outlines and orders that name their die are left out.
func (p *Plan) forms() (list []*form) {
	for i := range p.Runs {
		for _, s := range p.Runs[i].Orders {
			x := s.order.Forme
			shape := x.Shape
			if shape.Rectangular() {
				shape = geometry.ShapeRectangle
			}
			if shape == geometry.ShapeOutline || s.order.Die != "" {
				continue
			}
			at := slices.IndexFunc(list, func(f *form) bool { return f.label == x.Label && f.shape == shape })
			if at < 0 {
				at, list = len(list), append(list, &form{label: x.Label, shape: shape, cost: map[int]int64{}})
			}
			f := list[at]
			f.cost[s.order.Index] += *s.Money
			if !slices.ContainsFunc(f.orders, func(o *intake.Order) bool { return o.Index == s.order.Index }) {
				f.orders = append(f.orders, s.order)
			}
		}
	}
	for _, f := range list {
		slices.SortStableFunc(f.orders, func(a, b *intake.Order) int { return cmp.Compare(f.cost[b.Index], f.cost[a.Index]) })
		f.orders = f.orders[:min(len(f.orders), mostFor)]
	}
	slices.SortStableFunc(list, func(a, b *form) int { return cmp.Compare(b.spent(), a.spent()) })
	return list
}

// least is what the orders' labels cost with any tool: the web under them.
func (f *form) least(r *night.Rules) int64 {
	sum := 0.0
	for _, o := range f.orders {
		area := f.label.Across.Metres() * f.label.Around.Metres()
		perM2 := r.House.Press.Prices.Web(o.Stock)
		for _, l := range r.House.Press.LotsOf(o.Stock) {
			perM2 = min(perM2, l.PerM2)
		}
		sum += float64(o.Quantity-o.Printed) * area * perM2
	}
	return int64(sum * unit(r.House.Press.Prices.Currency))
}

// tool returns the best tool that can be made for the label; nil where none fits, or
// one that lays as it does is there.
func (f *form) tool(r *night.Rules) *geometry.Die {
	j := *r.House
	j.Die, j.Winding, j.Shape = "", cmp.Or(f.orders[0].Winding, r.House.Winding), f.shape
	if r.FreeWeb {
		j.WebWidth = 0
	}
	inks := 0
	for _, o := range f.orders {
		inks = max(inks, len(o.PrintInks))
	}
	w, err := j.Question().Wish(f.label, inks)
	if err != nil {
		return nil
	}
	for _, o := range f.orders {
		w.Quantity += o.Quantity - o.Printed
	}
	fits, err := geometry.RankTools(j.Press.Finishing.Cylinders, w)
	if err != nil || len(fits) == 0 || !fits[0].Fits {
		return nil
	}
	tool := *fits[0].Die
	tool.Number, tool.Size = newTool, f.label.Turned(fits[0].Turn)
	for _, d := range r.House.Dies.Dies {
		if d.Size == tool.Size && d.Lanes == tool.Lanes && d.Rows == tool.Rows && d.Cylinder == tool.Cylinder && d.Station == tool.Station {
			return nil
		}
	}
	return &tool
}

// offer plans the orders of a label by themselves, without the tool and with it.
func (p *Plan) offer(ctx context.Context, f *form, tool *geometry.Die, orders []job.Order) (offer ToolOffer, err error) {
	offer = ToolOffer{
		LabelMM: [2]float64{f.label.Across.MM(), f.label.Around.MM()}, Cylinder: tool.Cylinder.String(), Lanes: tool.Lanes, Rows: tool.Rows,
		GapMM: [2]float64{tool.Gap.Across.MM(), (tool.Cylinder.Repeat()/geometry.Length(tool.Rows) - tool.Size.Around).MM()},
	}
	if tool.Size != f.label {
		offer.TurnDeg = 90
	}
	var mine []job.Order
	for _, o := range f.orders {
		mine, offer.Orders = append(mine, orders[o.Index]), append(offer.Orders, o.ID)
	}
	r := *p.rules
	house := *r.House
	r.House, r.Tell, r.Stands, r.Search, r.SetUp, r.Pins, r.Day, r.Time = &house, nil, nil, nil, nil, night.Pins{}, time.Time{}, r.Time/toolTime
	for _, money := range []*int64{&offer.Now, &offer.With} {
		one, err := Make(ctx, mine, &r, nil)
		if err != nil {
			return offer, err
		}
		if *money = *one.Total.Money; one.LeftOut() > 0 {
			return ToolOffer{}, nil // the night is not that of these orders
		}
		house.Dies = house.Dies.With(*tool)
	}
	return offer, nil
}
