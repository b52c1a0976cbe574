package night

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/night/folder"
)

// PlanSchema names the plan's form; scripts check it. Keys may be added, never
// renamed or given another meaning.
const PlanSchema = "quoin/night/1"

// Plan is what there is to say about a night: one struct for the text, the JSON
// and the HTML. Keys carry their units.
type Plan struct {
	Schema     string            `json:"schema"`
	Night      string            `json:"night"`
	Day        string            `json:"day,omitempty"`
	Lanes      string            `json:"lanes"` // whole or mixed
	By         Measure           `json:"by"`    // what the plan has the least of
	Runs       []Run             `json:"runs"`
	Total      Total             `json:"total"`
	Bound      Bound             `json:"bound"`
	GapPercent float64           `json:"gap_percent"` // of the measure, above the bound
	Proved     bool              `json:"proved"`      // no plan of these groups is better
	Alone      Alone             `json:"alone"`
	Groups     []GroupPart       `json:"groups"`
	Unplanned  []Note            `json:"unplanned"` // left out: nothing of it is printed, but for a run that failed
	Later      []Note            `json:"later"`     // waits for a later night
	Notes      []Note            `json:"notes"`     // taken, with a word
	Compare    []Variant         `json:"compare,omitempty"`
	Curve      []CurvePart       `json:"curve,omitempty"`
	Inputs     []impose.FilePart `json:"inputs,omitempty"`

	rules  *Rules
	groups []*group
}

// Run is one set-up of the press.
type Run struct {
	Run         int               `json:"run"` // in the order of printing, from 1
	Name        string            `json:"name"`
	Group       int               `json:"group"`
	Frames      int64             `json:"frames"`
	WebM        float64           `json:"web_m"`       // net: frames x repeat
	WebGrossM   float64           `json:"web_gross_m"` // with run waste and make-ready
	PressMin    float64           `json:"press_min"`
	Lanes       int               `json:"lanes"`
	Rows        int               `json:"rows"`
	BlankLanes  int64             `json:"blank_lanes"`
	BlankPlaces int64             `json:"blank_stations"`
	RepeatMM    float64           `json:"repeat_mm"`
	Due         string            `json:"due,omitempty"` // the earliest of its orders
	Orders      []Share           `json:"orders"`
	Warnings    []impose.Warning  `json:"warnings,omitempty"` // of its imposing
	Files       []impose.FilePart `json:"files,omitempty"`

	group    *group
	priority int
}

// Share is an order's part of a run.
type Share struct {
	Order     string `json:"order"`
	Product   string `json:"product,omitempty"`
	Lanes     int64  `json:"lanes"` // whole lanes; 0 where lanes are mixed
	Stations  int64  `json:"stations"`
	Labels    int64  `json:"labels"`
	Ordered   int64  `json:"ordered"`         // what of the order is due from this run
	Overs     int64  `json:"overs"`           // labels beyond that
	Scrap     int64  `json:"scrap,omitempty"` // of the overs, those that the customer does not take
	Rolls     int64  `json:"rolls,omitempty"` // full ones
	PartRolls int64  `json:"part_rolls,omitempty"`
	Split     bool   `json:"split,omitempty"` // the order stands in other runs too
	Due       string `json:"due,omitempty"`
	Artwork   string `json:"artwork,omitempty"`
	Page      int    `json:"page,omitempty"`
	SHA256    string `json:"sha256,omitempty"` // of the artwork

	order *order
}

// Total is the whole night.
type Total struct {
	Runs      int     `json:"runs"`
	Orders    int     `json:"orders"`
	WebNetM   float64 `json:"web_net_m"`
	RunWasteM float64 `json:"run_waste_m"`
	SetupM    float64 `json:"setup_m"`
	WebM      float64 `json:"web_m"` // net, run waste and set-ups
	PressMin  float64 `json:"press_min"`
	FinishMin float64 `json:"finish_min,omitempty"` // at the finishing line; where the press file knows its speed
	Ordered   int64   `json:"ordered"`
	Labels    int64   `json:"labels"`
	Overs     int64   `json:"overs"`
	Scrap     int64   `json:"scrap"`
}

// Bound is what no plan of these groups under these rules undercuts.
type Bound struct {
	WebM     float64 `json:"web_m"`
	PressMin float64 `json:"press_min"`
	Runs     int     `json:"runs"`
}

// Alone compares with a run for every order.
type Alone struct {
	Runs            int     `json:"runs"`
	WebM            float64 `json:"web_m"`
	PressMin        float64 `json:"press_min"`
	SavedRuns       int     `json:"saved_runs"`
	SavedWebM       float64 `json:"saved_web_m"`
	SavedPressMin   float64 `json:"saved_press_min"`
	SavedWebPercent float64 `json:"saved_web_percent"`
}

// GroupPart is the orders that may share runs.
type GroupPart struct {
	Group        int        `json:"group"`
	Material     string     `json:"material"`
	Die          string     `json:"die,omitempty"`
	LabelMM      [2]float64 `json:"label_mm"` // across, around, upright
	TurnDeg      int        `json:"turn_deg"`
	Across       int        `json:"across"`
	Around       int        `json:"around"`
	RepeatMM     float64    `json:"repeat_mm"`
	Inks         []string   `json:"inks"` // an ink that hits twice stands twice
	SpeedMPerMin float64    `json:"speed_m_per_min"`
	Orders       int        `json:"orders"`
	Runs         int        `json:"runs"`
	WebM         float64    `json:"web_m"`
	GapPercent   float64    `json:"gap_percent"`
	Proved       bool       `json:"proved"`
	Alone        bool       `json:"alone,omitempty"`
}

// Make plans the night. Orders that can't be taken are in the plan with their
// reasons; an error is that of a cancelled context or of the disk. A night that
// is built in a folder takes over the search of an earlier start; f is nil for
// one that is planned only.
func Make(ctx context.Context, orders []job.Order, r *Rules, f *folder.Folder) (*Plan, error) {
	in, err := take(ctx, orders, r)
	if err != nil {
		return nil, err
	}
	groups, left, err := planned(ctx, in, r, f)
	if err != nil {
		return nil, err
	}
	in.left = append(in.left, left...)
	return lay(groups, in, r), nil
}

// lay turns solved groups into the plan.
func lay(groups []*group, in *intake, r *Rules) *Plan {
	p := &Plan{
		Schema: PlanSchema, Night: r.House.Name, Lanes: "whole", By: r.By,
		Unplanned: empty(in.left), Later: empty(in.later), Notes: empty(in.words), rules: r, groups: groups,
		Runs: []Run{}, Groups: []GroupPart{},
	}
	if r.Mixed {
		p.Lanes = "mixed"
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
	for i := range p.Runs {
		p.Runs[i].Run = i + 1
	}
	p.nameRuns()
	p.share()
	p.sum()
	return p
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

func empty(n []Note) []Note {
	if n == nil {
		return []Note{}
	}
	return n
}

func (g *group) part(number int) GroupPart {
	l := g.forme.layout
	return GroupPart{
		Group: number, Material: g.material, Die: g.forme.die,
		LabelMM: [2]float64{g.forme.label.Across.MM(), g.forme.label.Around.MM()}, TurnDeg: l.Turn.Degrees(),
		Across: l.Across, Around: l.Around, RepeatMM: l.Repeat.MM(), Inks: append([]string{}, g.inks...),
		SpeedMPerMin: g.terms.Speed.Metres(), Orders: len(g.orders), Runs: len(g.plan.Runs),
		WebM: g.takes(&g.plan).gross.Metres(), GapPercent: g.bounds.GapPercent, Proved: g.bounds.Proved,
		Alone: g.alone(),
	}
}

// runs turns the group's plan into runs, the orders with most lanes first.
func (g *group) runs(number int, r *Rules) []Run {
	l := g.forme.layout
	places, each := g.places(r)
	var out []Run
	for _, planned := range g.plan.Runs {
		takes := g.run(planned.Length)
		run := Run{
			Group: number, Frames: planned.Length, WebM: takes.net.Metres(), WebGrossM: takes.gross.Metres(),
			PressMin: takes.minutes, Lanes: l.Across, Rows: l.Around, RepeatMM: l.Repeat.MM(), group: g,
			BlankPlaces: int64(l.Labels()),
		}
		used := int64(0)
		for i, s := range planned.Shares {
			o := g.orders[s.Order]
			share := Share{
				Order: o.ID, Product: o.Product, Stations: s.Lanes * each, Labels: s.Lanes * each * planned.Length,
				Artwork: o.Artwork, SHA256: o.source, order: o,
			}
			if !r.Mixed {
				share.Lanes = s.Lanes
			}
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
		if !r.Mixed {
			run.BlankLanes = places - used
		}
		slices.SortStableFunc(run.Orders, func(a, b Share) int {
			return cmp.Or(cmp.Compare(b.Stations, a.Stations), cmp.Compare(a.order.at, b.order.at))
		})
		out = append(out, run)
	}
	return out
}

// share says what of each order is due from each run: all that a run makes,
// until the order is met. So overs fall to an order's last run.
func (p *Plan) share() {
	open, made, times := map[*order]int64{}, map[*order]int64{}, map[*order]int{}
	for i := range p.Runs {
		for _, s := range p.Runs[i].Orders {
			open[s.order] = s.order.Quantity
			times[s.order]++
		}
	}
	for i := range p.Runs {
		run := &p.Runs[i]
		for k := range run.Orders {
			s := &run.Orders[k]
			s.Ordered = min(s.Labels, open[s.order])
			open[s.order] -= s.Ordered
			s.Overs = s.Labels - s.Ordered
			s.Split = times[s.order] > 1
			if limit := s.order.limit; limit > 0 && p.rules.Scrap {
				before := max(made[s.order]-limit, 0)
				s.Scrap = max(made[s.order]+s.Labels-limit, 0) - before
			}
			made[s.order] += s.Labels
			s.countRolls(run, p.rules.House.Roll.Splices)
		}
	}
}

// countRolls says what comes off the finishing line; the rests of an order's
// lanes are joined only where the house allows splices in so many words. Of
// mixed lanes the rolls can't be told before they are sorted.
func (s *Share) countRolls(run *Run, splices *bool) {
	per := s.order.LabelsPerRoll
	if per == 0 || s.Lanes == 0 {
		return
	}
	lanes := make([]geometry.Piece, s.Lanes)
	for i := range lanes {
		lanes[i] = geometry.Piece{Lane: i + 1, Labels: run.Frames * int64(run.Rows)}
	}
	most := 0
	if splices != nil && *splices {
		most = int(s.Lanes)
	}
	if c, err := geometry.CountRolls(lanes, per, most); err == nil {
		s.Rolls, s.PartRolls = c.Rolls(), int64(len(c.Parts))
	}
}

// sum adds up the runs and sets them beside the bounds.
func (p *Plan) sum() {
	var all, alone taken
	orders := map[*order]bool{}
	for i := range p.Runs {
		run := &p.Runs[i]
		all = all.plus(run.group.run(run.Frames))
		for _, s := range run.Orders {
			orders[s.order] = true
			p.Total.Ordered += s.Ordered
			p.Total.Labels += s.Labels
			p.Total.Overs += s.Overs
			p.Total.Scrap += s.Scrap
		}
	}
	var cost, bound int64
	p.Proved = true
	for _, g := range p.groups {
		alone = alone.plus(g.ordersAlone(p.rules, orders))
		cost += g.plan.Cost
		bound += g.bounds.Cost
		p.Bound.Runs += g.bounds.Runs
		p.Proved = p.Proved && g.bounds.Proved
		web, minutes := g.bound(p.rules)
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
}

// bound gives metres of web and minutes that no plan of the group undercuts:
// that of its measure as the search proved it, the other from the least length
// and the least runs.
func (g *group) bound(r *Rules) (web, minutes float64) {
	least := geometry.Length(g.bounds.Length) * g.forme.layout.Repeat
	gross := g.terms.RunWaste.MoreLength(least) + geometry.Length(g.bounds.Runs)*g.terms.Setup
	web = gross.Metres()
	if r.By == Web {
		// A set-up that costs nothing is counted as a nanometre, see problem.
		web = max(web, min(geometry.Length(g.bounds.Cost).Metres(), g.takes(&g.plan).gross.Metres()))
	}
	if g.terms.Speed > 0 {
		minutes = web/g.terms.Speed.Metres() + float64(g.bounds.Runs)*g.terms.SetupMin
	}
	if r.By == Minutes {
		minutes = max(minutes, min(float64(g.bounds.Cost)/nanosPerMinute, g.takes(&g.plan).minutes))
	}
	return web, minutes
}
