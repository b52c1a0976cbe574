package plan

import (
	"cmp"
	"math"
	"slices"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// form is what a tool is made for.
type form struct {
	kind
	orders []*intake.Order // the dearest first
	cost   map[int]int64   // on their runs, by their places in the order file
}

// kind is what labels that one tool cuts have alike. A tool for an outline is made
// for labels that stand one way: turned, they may need another.
type kind struct {
	label   geometry.Size
	shape   geometry.Shape
	cut     int
	winding geometry.Winding
}

// tooling is a tool to be made.
type tooling struct {
	die   geometry.Die
	turn  geometry.Turn // of the label on it
	press *job.Press    // whose finishing line it is made for
	price int64
}

// spent is what the form's orders cost.
func (f *form) spent() (sum int64) {
	for _, o := range f.orders {
		sum += f.cost[o.Index]
	}
	return sum
}

// forms lists the labels that are printed and what their orders cost, the dearest
// first. Orders that name their die are left out.
func (p *Plan) forms() (list []*form) {
	for i := range p.Runs {
		for _, s := range p.Runs[i].Orders {
			if s.order.Die != "" {
				continue
			}
			k := kindOf(s.order, p.rules)
			at := slices.IndexFunc(list, func(f *form) bool { return f.kind == k })
			if at < 0 {
				at, list = len(list), append(list, &form{kind: k, cost: map[int]int64{}})
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

func kindOf(o *intake.Order, r *night.Rules) kind {
	x := o.Forme
	k := kind{label: x.Label, shape: shapeNamed(x.Shape), cut: x.Cut}
	if w := cmp.Or(o.Winding, r.House.Winding); k.shape == geometry.ShapeOutline && w != nil {
		k.winding = *w
	}
	return k
}

// shapeNamed gives a shape that nobody says its name.
func shapeNamed(s geometry.Shape) geometry.Shape {
	if s.Rectangular() {
		return geometry.ShapeRectangle
	}
	return s
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

// tool returns the tool to be made for the label that with its price and the web
// under a run of all its orders costs least: on a cylinder of a press's finishing
// line, or in the stroke of a flat station. Nil where none fits, none has a price, or
// one that lays as it does is there.
func (f *form) tool(r *night.Rules) (best *tooling) {
	inks := 0
	for _, o := range f.orders {
		inks = max(inks, len(o.PrintInks))
	}
	least := math.Inf(1)
	for _, press := range presses(r) {
		prices := pricesOn(press, r)
		j := *r.House
		if j.Press = press; r.FreeWeb {
			j.WebWidth = 0
		} else if !press.Takes(j.WebWidth) {
			continue
		}
		w, err := f.orders[0].ToolWish(&j, inks)
		if err != nil {
			continue
		}
		for _, o := range f.orders {
			w.Quantity += o.Quantity - o.Printed
		}
		for _, rank := range []func() ([]geometry.Fit, error){
			func() ([]geometry.Fit, error) { return geometry.RankTools(press.Finishing.Cylinders, w) },
			func() ([]geometry.Fit, error) { return geometry.RankFlatTools(w) },
		} {
			fits, err := rank()
			if err != nil {
				continue
			}
			for i := range fits {
				x := &fits[i]
				price := prices.Tool(x.Die.Station, x.Die.Shape)
				if !x.Fits || price <= 0 {
					continue
				}
				if cost := price + x.WebArea/1e6*prices.Web(f.orders[0].Stock); cost < least {
					least = cost
					best = &tooling{*x.Die, x.Turn, press, int64(math.Ceil(price * unit(r.House.Press.Prices.Currency)))}
				}
			}
		}
	}
	if best == nil {
		return nil
	}
	best.die.Number, best.die.Size = newTool, f.label.Turned(best.turn)
	if slices.ContainsFunc(r.House.Dies.Dies, best.there) {
		return nil
	}
	return best
}

// there reports whether a die lays as the tool would.
func (m *tooling) there(d geometry.Die) bool {
	t := &m.die
	return t.Shape != geometry.ShapeOutline && shapeNamed(d.Shape) == shapeNamed(t.Shape) && d.Size == t.Size && d.Lanes == t.Lanes && d.Rows == t.Rows &&
		d.Station == t.Station && d.Gap.Across == t.Gap.Across && d.Advance() == t.Advance()
}
