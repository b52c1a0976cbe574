package geometry

import (
	"fmt"
	"math"
)

// Terms are what a press adds to the plain length of a run.
type Terms struct {
	Setup    Length  // web spent before the first good label
	RunWaste Share   // of the net web, spoiled while running
	Overs    Share   // labels made beyond the order by intention
	Speed    Length  // web per minute
	SetupMin float64 // minutes of set-up beside the web it takes
	Frames   int64   // least frames, for a run whose length something else decides; 0 leaves it to the orders
}

// Demand is what one product of a frame must yield.
type Demand struct {
	Quantity int64   // ordered labels
	Places   int     // its stations on the frame
	Area     float64 // mm2, of one of its labels; 0 means the layout's
}

// Usage says what the order costs in web and minutes: net web is frames times
// repeat, gross web is net with its share of run waste and the make-ready,
// minutes are gross by speed and the set-up's own. The definitions are common
// practice, no source.
type Usage struct {
	Ordered  int64 // labels
	Labels   int64 // labels made
	Frames   int64
	Net      Length  // frames x repeat
	Gross    Length  // with run waste and set-up
	Minutes  float64 // 0 when no speed is known
	Yield    float64 // ordered label area in percent of the gross web
	Accounts Accounts
}

// Accounts says where the gross web goes, in percent of its area; all add to
// 100. Label is ordered labels, Overs those beyond.
type Accounts struct{ Label, Overs, Matrix, Edge, Tail, Run, MakeReady float64 }

// PlanRun returns the least whole frames that meet every demand, and what they
// take. An order of nothing, more stations than the frame has, negative terms
// and a run of more than 10,000 km are errors with a hint.
func (l *Layout) PlanRun(demands []Demand, t Terms) (*Usage, error) {
	return l.extent().run(demands, t)
}

func (x extent) run(demands []Demand, t Terms) (*Usage, error) {
	if err := t.check(); err != nil {
		return nil, err
	}
	frames, err := x.framesFor(demands, t)
	if err != nil {
		return nil, err
	}
	run := &Usage{Frames: frames}
	for _, d := range demands {
		run.Ordered += d.Quantity
		run.Labels += frames * int64(d.Places)
	}
	run.Net = Length(frames) * x.repeat
	run.Gross = t.RunWaste.MoreLength(run.Net) + t.Setup
	if t.Speed > 0 {
		run.Minutes = float64(run.Gross)/float64(t.Speed) + t.SetupMin
	}
	run.account(x, demands, t)
	return run, nil
}

// framesFor gives the least frames that meet every demand with its overs.
func (x extent) framesFor(demands []Demand, t Terms) (frames int64, err error) {
	if len(demands) == 0 {
		return 0, &hintError{"nothing is ordered", "give the quantity of at least one product"}
	}
	taken := 0
	for i, d := range demands {
		if d.Places <= 0 || d.Quantity <= 0 {
			return 0, &hintError{
				fmt.Sprintf("product %d has %s labels ordered on %d stations", i+1, grouped(d.Quantity), d.Places),
				"both must be at least 1"}
		}
		if d.Quantity > mostOrdered {
			return 0, &hintError{
				fmt.Sprintf("product %d has %s labels ordered", i+1, grouped(d.Quantity)),
				fmt.Sprintf("orders of up to %s labels are planned", grouped(mostOrdered))}
		}
		if taken += min(d.Places, MostStations+1); taken > x.labels {
			return 0, &hintError{
				fmt.Sprintf("the products up to %d take more stations than the frame's %d", i+1, x.labels),
				"give each product its share of the stations"}
		}
		need, places := t.Overs.More(d.Quantity), int64(d.Places)
		frames = max(frames, (need+places-1)/places)
	}
	frames = max(frames, t.Frames)
	if frames > int64(longest/x.repeat) {
		return 0, &hintError{
			fmt.Sprintf("%d frames of %s are longer than any run", frames, x.repeat),
			fmt.Sprintf("runs of up to %.0f m are planned: split the order", longest.Metres())}
	}
	return frames, nil
}

// mostOrdered keeps an order with its overs far inside an int64.
const mostOrdered = 1_000_000_000_000

// check refuses terms that no press has.
func (t Terms) check() error {
	for _, v := range []struct {
		name string
		bad  bool
		way  string
	}{
		{"make-ready web", t.Setup < 0 || t.Setup > longest, "0m or more"},
		{"run waste", t.RunWaste < 0 || t.RunWaste > mostShare, "0% or more"},
		{"share of overs", t.Overs < 0 || t.Overs > mostShare, "0% or more"},
		{"speed", t.Speed < 0 || t.Speed > longest, "0m or more a minute"},
		{"set-up time", !(t.SetupMin >= 0) || math.IsInf(t.SetupMin, 1), "0 minutes or more"},
	} {
		if v.bad {
			return &hintError{"the " + v.name + " is impossible", "it is " + v.way}
		}
	}
	return nil
}

// account fills in the yield and the accounts.
func (r *Usage) account(x extent, demands []Demand, t Terms) {
	gross := x.web.MM() * r.Gross.MM()
	ofGross := float64(r.Net) / float64(r.Gross)
	split := x.split()
	ordered, labels := 0.0, 0.0 // areas
	for _, d := range demands {
		area := d.Area
		if area == 0 {
			area = x.area
		}
		ordered += float64(d.Quantity) * area
		labels += float64(r.Frames) * float64(d.Places) * area
	}
	a := Accounts{
		Label:     100 * ordered / gross,
		Matrix:    split.Matrix * ofGross,
		Edge:      split.Edge * ofGross,
		Tail:      split.Tail * ofGross,
		Run:       100 * float64(r.Gross-r.Net-t.Setup) / float64(r.Gross),
		MakeReady: 100 * float64(t.Setup) / float64(r.Gross),
	}
	// Blank stations, where there are any, are neither ordered nor over: they
	// are stripped like the matrix.
	made := 100 * labels / gross
	a.Overs = made - a.Label
	a.Matrix += split.Label*ofGross - made
	r.Yield = a.Label
	r.Accounts = a
}
