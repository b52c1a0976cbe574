package plan

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"time"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
)

// seenNight is what a checker of a night by money reads of its JSON.
type seenNight struct {
	Schema, Day, Lanes, By, Currency string
	Unit                             float64 `json:"money_unit"`
	Runs, Printed                    []seenRun
	Replan                           *struct {
		Moved []struct {
			Run, Was, Now string
			Late          bool
		}
		MadeAnew int64 `json:"made_anew_money"`
		Anew     bool
	}
	Total struct {
		Runs, Orders                                            int
		Net                                                     float64 `json:"web_net_m"`
		Waste                                                   float64 `json:"run_waste_m"`
		Setup                                                   float64 `json:"setup_m"`
		Web                                                     float64 `json:"web_m"`
		Minutes                                                 float64 `json:"press_min"`
		Finish                                                  float64 `json:"finish_min"`
		Ordered, Labels, Overs, Trimmed, Scrap, Money, Quantity int64
		Parts                                                   []seenPart
	}
	Bound struct {
		Web     float64 `json:"web_m"`
		Minutes float64 `json:"press_min"`
		Runs    int
		Money   int64
	}
	Gap    float64 `json:"gap_percent"`
	Proved bool
	Alone  struct {
		Runs      int
		SavedRuns int     `json:"saved_runs"`
		Web       float64 `json:"web_m"`
		SavedWeb  float64 `json:"saved_web_m"`
		Percent   float64 `json:"saved_web_percent"`
		Minutes   float64 `json:"press_min"`
		SavedMin  float64 `json:"saved_press_min"`
		Money     int64
		Saved     int64 `json:"saved_money"`
	}
	Groups []seenGroup
	Late   []struct {
		Run, Due, End string
		Orders        int
		LateMin       float64  `json:"late_min"`
		Names         []string `json:"order_names"`
	}
	Presses   []seenPress
	Unplanned []struct{ Order string }
	Pins      night.Pins
}

type seenGroup struct {
	Group          int
	Material, Die  string
	Press          string
	WebMM          float64    `json:"web_mm"`
	LabelMM        [2]float64 `json:"label_mm"`
	Across, Around int
	Repeat         float64 `json:"repeat_mm"`
	Inks           []string
	Speed          float64 `json:"speed_m_per_min"`
	Orders, Runs   int
	Turn           int     `json:"turn_deg"`
	Turns          []int   `json:"turns_deg"`
	Web            float64 `json:"web_m"`
	Gap            float64 `json:"gap_percent"`
	Alone, Proved  bool
	Printed        bool
}

type seenPress struct {
	Press, Start, End string
	Runs              int
	Busy              float64 `json:"busy_min"`
	Hours             float64 `json:"hours_min"`
	Shifts            []struct{ From, To string }
	Money             int64
}

type seenRun struct {
	Run                               int
	Name, Press, Die, Start, End, Due string
	Group, Lanes, Rows                int
	Frames, Money                     int64
	Blank                             int     `json:"blank_lanes"`
	BlankPlaces                       int     `json:"blank_stations"`
	Net                               float64 `json:"web_m"`
	Gross                             float64 `json:"web_gross_m"`
	Minutes                           float64 `json:"press_min"`
	Change                            float64 `json:"change_min"`
	Late                              float64 `json:"late_min"`
	Repeat                            float64 `json:"repeat_mm"`
	WebMM                             float64 `json:"web_mm"`
	Parts                             []seenPart
	Orders                            []struct {
		Order, Due                                    string
		Lanes, Stations, Part, Parts                  int
		Labels, Ordered, Overs, Money, Scrap, Trimmed int64
		Quantity                                      int64 `json:"order_quantity"`
		Priority                                      int
		Split                                         bool
		Turn                                          *int     `json:"turn_deg"`
		Others                                        []string `json:"other_runs"`
		With                                          []string
	}
}

// nightCheck proves a night from its JSON, its order list and its press files, and knows
// none of the planner's code.
type nightCheck struct {
	*seenNight
	rules   *night.Rules // what was asked for
	all     map[string]*job.Order
	presses map[string]*job.Press
	dies    *job.Library
	nights  int
	units   float64               // the currency's smallest in one of it
	left    map[*job.Lot]*float64 // metres of each lot that no run has taken
	printed map[string]int64      // labels of each order that are there already
	list    []string
}

func (c *nightCheck) fault(form string, args ...any) {
	c.list = append(c.list, fmt.Sprintf(form, args...))
}

// same faults figures that differ by more than a rounding.
func (c *nightCheck) same(what string, got, want, off float64) {
	if math.Abs(got-want) > off {
		c.fault("%s is %g, %g is right", what, got, want)
	}
}

// nightFaults checks a plan's JSON; what can't be followed at all is a fault too.
func nightFaults(text []byte, all []job.Order, r *night.Rules) (list []string) {
	presses := append([]*job.Press{r.House.Press}, r.Presses...)
	c := &nightCheck{seenNight: &seenNight{}, rules: r, all: map[string]*job.Order{}, presses: map[string]*job.Press{}, dies: r.House.Dies, nights: max(r.Nights, 1), units: smallest(r), left: map[*job.Lot]*float64{}}
	defer func() {
		if e := recover(); e != nil {
			list = append(c.list, fmt.Sprintf("names what is not there: %v", e))
		}
	}()
	if err := json.Unmarshal(text, c.seenNight); err != nil {
		return []string{err.Error()}
	}
	for i := range all {
		c.all[all[i].ID] = &all[i]
	}
	for _, p := range presses {
		c.presses[p.Name] = p
	}
	before := c.begun()
	for i := range c.Runs {
		run := &c.Runs[i]
		if run.Run != i+1 || c.Replan == nil && run.Name != fmt.Sprintf("run-%03d", i+1) {
			c.fault("run %d is called %d, %s", i+1, run.Run, run.Name)
		}
		c.bed(run)
		c.orders(run)
		c.money(run, before[run.Press])
		c.time(run, before[run.Press])
		before[run.Press] = run
	}
	c.split()
	c.lateness()
	c.groups()
	c.pressParts()
	c.sums()
	c.boundFigures()
	c.limits()
	c.pins()
	if c.Replan == nil {
		c.aloneRow()
	}
	s := &seenShares{printed: c.printed}
	if err := json.Unmarshal(text, s); err != nil {
		return append(c.list, err.Error())
	}
	return append(c.list, s.faults(all, r)...)
}

// inks is how many the run's group has.
func (c *nightCheck) inks(run *seenRun) float64 { return float64(len(c.Groups[run.Group-1].Inks)) }

func (c *nightCheck) gross(run *seenRun) float64 {
	p := c.presses[run.Press]
	return float64(run.Frames)*run.Repeat/1000*(1+p.RunWaste.Float()) + p.Setup.Metres() + p.InkSetup.Metres()*c.inks(run)
}

func (c *nightCheck) speed(run *seenRun) float64 {
	for _, s := range c.presses[run.Press].Speeds {
		if c.inks(run) <= float64(s.Inks) {
			return s.PerMinute.Metres()
		}
	}
	return math.NaN()
}

// minutes is how long a run takes on the press, without what changes before it and
// without new rolls; and with those.
func (c *nightCheck) minutes(run *seenRun) (net, standing float64) {
	p := c.presses[run.Press]
	net = c.gross(run)/c.speed(run) + p.SetupMin + p.InkSetupMin*c.inks(run)
	return net, net + c.gross(run)*c.standing(run)
}

// bed checks where the run is printed: press, web, die, frame.
func (c *nightCheck) bed(run *seenRun) {
	g, p, d := &c.Groups[run.Group-1], c.presses[run.Press], c.dies.Find(run.Die)
	if g.Group != run.Group || g.Press != run.Press || g.Die != run.Die || g.WebMM != run.WebMM || g.Across != run.Lanes || g.Around != run.Rows || g.Repeat != run.Repeat {
		c.fault("%s is not as its group %d", run.Name, run.Group)
	}
	net := float64(run.Frames) * run.Repeat / 1000
	c.same(run.Name+": net web", run.Net, net, 0.001)
	c.same(run.Name+": web", run.Gross, c.gross(run), 0.01)
	minutes, _ := c.minutes(run)
	c.same(run.Name+": minutes", run.Minutes, minutes, 0.01)
	c.same(run.Name+": speed", g.Speed, c.speed(run), 0)
	c.same(run.Name+": repeat", run.Repeat, float64(run.Rows)*(d.Size.Around+d.Gap.Around).MM(), 0.001)
	if run.Repeat > p.LongestFrame.MM() || run.Rows%d.Rows != 0 || run.Lanes > d.Lanes || c.inks(run) > float64(p.Stations) {
		c.fault("%s: %d x %d in %g mm, %g inks: not on %s of %s", run.Name, run.Lanes, run.Rows, run.Repeat, c.inks(run), run.Die, run.Press)
	}
	if g.Turn%180 != 0 {
		c.fault("%s: no label of %v stands so when turned by %d", run.Name, g.LabelMM, g.Turn)
	}
	if g.LabelMM != [2]float64{d.Size.Across.MM(), d.Size.Around.MM()} {
		c.fault("%s: die %s cuts no %v", run.Name, run.Die, g.LabelMM)
	}
	widths := p.Webs
	if lots := slices.DeleteFunc(slices.Clone(p.Lots), func(l job.Lot) bool { return l.Material != g.Material }); len(lots) > 0 {
		widths = nil
		for _, l := range lots {
			widths = append(widths, l.Width)
		}
	}
	stock := slices.ContainsFunc(widths, func(w geometry.Length) bool { return w.MM() == run.WebMM })
	if !stock || run.WebMM < p.WebMin.MM() || run.WebMM > p.WebMax.MM() {
		c.fault("%s: %s has no web of %g mm", run.Name, run.Press, run.WebMM)
	}
}

// orders checks who shares the run.
func (c *nightCheck) orders(run *seenRun) {
	g := &c.Groups[run.Group-1]
	places, left, due := 0, run.Money, ""
	seen := map[string]bool{}
	for _, o := range run.Orders {
		x := c.all[o.Order]
		places += o.Stations
		left -= o.Money
		if o.Stations < 1 || (c.rules.Mixed && o.Lanes != 0) || (!c.rules.Mixed && o.Stations != o.Lanes*run.Rows) {
			c.fault("%s: %s has %d stations, %d lanes", run.Name, o.Order, o.Stations, o.Lanes)
		}
		c.turned(run, o.Order, o.Turn)
		if seen[o.Order] || o.Quantity != x.Quantity || o.Priority != x.Priority || o.Scrap < 0 || o.Scrap > o.Overs {
			c.fault("%s: %s is not as it is ordered", run.Name, o.Order)
		}
		seen[o.Order] = true
		day := ""
		if !x.Due.IsZero() {
			day = x.Due.Format(time.DateOnly)
		}
		if o.Due != day {
			c.fault("%s: %s is due on %s", run.Name, o.Order, day)
		}
		if due == "" || day != "" && day < due {
			due = day
		}
		if x.Material != g.Material || x.Label.Across.MM() != g.LabelMM[0] || x.Label.Around.MM() != g.LabelMM[1] {
			c.fault("%s: %s is of another material or label", run.Name, o.Order)
		}
		for _, ink := range x.Inks {
			if !slices.ContainsFunc(g.Inks, func(has string) bool { return has == ink }) {
				c.fault("%s: %s needs %s", run.Name, o.Order, ink)
			}
		}
		if x.Alone && (len(run.Orders) > 1 || !g.Alone) {
			c.fault("%s: %s is to be alone", run.Name, o.Order)
		}
	}
	for _, o := range run.Orders {
		c.same(run.Name+": the share of "+o.Order, float64(o.Money), float64(run.Money)*float64(o.Stations)/float64(places), 1)
	}
	blank := run.Lanes*run.Rows - places
	if left != 0 || blank != run.BlankPlaces || blank < 0 || (c.rules.Mixed && run.Blank != 0) || (!c.rules.Mixed && run.Blank != blank/run.Rows) || run.Due != due {
		c.fault("%s: %d places of %d x %d, %d blank, %d of its money left, due %s", run.Name, places, run.Lanes, run.Rows, run.BlankPlaces, left, due)
	}
}

// worked is how many working minutes of a press have passed at a time.
func (c *nightCheck) worked(press, at string) (sum float64) {
	when, err := time.Parse("2006-01-02T15:04", at)
	day, wrong := time.Parse(time.DateOnly, c.Day)
	if err != nil || wrong != nil {
		c.fault("%q in the night of %q is no time", at, c.Day)
		return math.NaN()
	}
	for n := range 60 {
		for _, s := range c.presses[press].Shifts {
			from := day.AddDate(0, 0, n).Add(time.Duration(s.From) * time.Minute)
			sum += max(0, min(when.Sub(from).Minutes(), float64(s.Minutes())))
		}
	}
	return sum
}

// night is how many working minutes a press has in one.
func (c *nightCheck) night(press string) (sum float64) {
	for _, s := range c.presses[press].Shifts {
		sum += float64(s.Minutes())
	}
	return sum
}

// time checks when the run is printed; starts and ends are told to the minute.
func (c *nightCheck) time(run, before *seenRun) {
	start, end := c.worked(run.Press, run.Start), c.worked(run.Press, run.End)
	_, standing := c.minutes(run)
	change, _, _, _, _ := c.changed(run, before)
	c.same(run.Name+": what changes before it", run.Change, change, 0.001)
	c.same(run.Name+": its time", end-start, change+standing, 1.05)
	if before != nil && start < c.worked(before.Press, before.End)-1.05 {
		c.fault("%s starts at %s, before %s ends", run.Name, run.Start, before.Name)
	}
	for text, last := range map[string]int{run.Start: -1, run.End: 0} {
		at, _ := time.Parse("2006-01-02T15:04", text)
		inside := false
		for _, s := range c.presses[run.Press].Shifts {
			for _, m := range []int{at.Hour()*60 + at.Minute(), at.Hour()*60 + at.Minute() + 24*60} {
				inside = inside || m >= s.From && m <= s.From+s.Minutes()+last
			}
		}
		if !inside {
			c.fault("%s is printed at %s, between shifts", run.Name, text)
		}
	}
}
