package plan

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/say"
)

// ToolOffer is a cutting tool that is not there and whose price the night would pay:
// orders of its label, the dearest where there are many, cost less by more than that
// when they are planned by themselves. The plan never counts on it.
type ToolOffer struct {
	LabelMM  [2]float64 `json:"label_mm"` // across, around, upright
	TurnDeg  int        `json:"turn_deg"`
	Shape    string     `json:"shape"`
	Press    string     `json:"press,omitempty"` // whose finishing line it is made for; where there are several
	Station  string     `json:"station"`         // full-rotary, semi-rotary or flat-bed
	Cylinder string     `json:"cylinder"`        // of a full-rotary tool
	Lanes    int        `json:"lanes"`
	Rows     int        `json:"rows"`   // around the cylinder, or in a stroke
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

// OfferTools says which tools would pay in these nights, by money where a press file
// says the price of one, and what it could be: its cylinders, or the strokes of its
// flat stations. The orders are those that the plan was made of. Of labels that it
// did not look at it says so in a note.
func (p *Plan) OfferTools(ctx context.Context, orders []job.Order) error {
	if !p.money() || p.rules.House.Dies == nil {
		return nil
	}
	priced := false
	for _, press := range presses(p.rules) {
		priced = priced || press.Prices != nil && (press.Prices.NewTool > 0 || len(press.Prices.NewTools) > 0)
	}
	if !priced {
		return nil
	}
	looked, more := 0, []string(nil)
	for _, f := range p.forms() {
		tool := f.tool(p.rules)
		switch {
		case tool == nil || f.spent()-f.least(p.rules) <= tool.price:
			continue
		case looked == mostTools:
			more = append(more, f.label.String())
			continue
		}
		looked++
		offer, err := p.offer(ctx, f, tool, orders)
		if err != nil {
			return err
		}
		if offer.Saves = offer.Now - offer.With - offer.Price; offer.Saves > 0 {
			p.Tools = append(p.Tools, offer)
		}
	}
	if len(more) > 0 {
		p.Notes = append(p.Notes, night.NoteOn("", night.NewTools, "new tools were looked for to cut the %d labels that most is spent on, and not for %s that one might pay for (%s)",
			looked, say.CountOf(len(more), "other", "others"), strings.Join(more, ", ")))
	}
	slices.SortStableFunc(p.Tools, func(a, b ToolOffer) int { return cmp.Compare(b.Saves, a.Saves) })
	return nil
}

// offer plans the orders of a label by themselves, without the tool and with it.
func (p *Plan) offer(ctx context.Context, f *form, tool *tooling, orders []job.Order) (offer ToolOffer, err error) {
	d := tool.die
	offer = ToolOffer{
		LabelMM: [2]float64{f.label.Across.MM(), f.label.Around.MM()}, Shape: string(f.shape), Station: string(d.Station),
		Lanes: d.Lanes, Rows: d.Rows, GapMM: [2]float64{d.Gap.Across.MM(), (d.Advance()/geometry.Length(d.Rows) - d.Size.Around).MM()}, Price: tool.price,
	}
	if d.Station == geometry.FullRotary {
		offer.Cylinder = d.Cylinder.String()
	}
	if d.Size != f.label {
		offer.TurnDeg = 90
	}
	if len(p.rules.Presses) > 0 {
		offer.Press = tool.press.Name
	}
	var mine []job.Order
	for _, o := range f.orders {
		open := orders[o.Index]
		open.Quantity -= p.printedOf(o.ID)
		mine, offer.Orders = append(mine, open), append(offer.Orders, o.ID)
	}
	r := *p.rules
	house := *r.House
	r.House, r.Tell, r.Stands, r.Search, r.SetUp, r.Pins, r.Day, r.Time = &house, nil, nil, nil, nil, night.Pins{}, time.Time{}, r.Time/toolTime
	if d.Shape == geometry.ShapeOutline {
		r.Trial = night.Trial{Die: newTool, Cut: f.orders[0].Cut().Turned(tool.turn).At(geometry.Position{})}
	}
	for _, money := range []*int64{&offer.Now, &offer.With} {
		one, err := Make(ctx, mine, &r, nil)
		if err != nil {
			return offer, err
		}
		if *money = *one.Total.Money; one.LeftOut() > 0 {
			return ToolOffer{}, nil // the night is not that of these orders
		}
		house.Dies = house.Dies.With(d)
	}
	return offer, nil
}
