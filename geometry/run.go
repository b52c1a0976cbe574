package geometry

import "fmt"

// Terms are what a press adds to the plain length of a run.
type Terms struct {
	Setup    Length  // web spent before the first good label
	RunWaste Share   // of the net web, spoiled while running
	Overs    Share   // labels made beyond the order by intention
	Speed    Length  // web per minute
	SetupMin float64 // minutes of set-up beside the web it takes
}

// Demand is what one product of a frame must yield.
type Demand struct {
	Quantity int64 // ordered labels
	Places   int   // its stations on the frame
}

// Run says what the order costs in web and minutes. Formulas are common
// practice, no source, except that gross web and minutes follow from the
// definitions.
type Run struct {
	Ordered  int64 // labels
	Labels   int64 // labels made
	Frames   int64
	Net      Length // frames x repeat
	Gross    Length // with run waste and set-up
	Minutes  float64
	Yield    float64 // ordered label area in percent of the gross web
	Accounts Accounts
}

// Accounts says where the gross web goes, in percent of its area; all add to
// 100. Label is ordered labels, Overs those beyond.
type Accounts struct{ Label, Overs, Matrix, Edge, Tail, Run, MakeReady float64 }

// Sum gives the total, which is 100 but for rounding.
func (a Accounts) Sum() float64 {
	return a.Label + a.Overs + a.Matrix + a.Edge + a.Tail + a.Run + a.MakeReady
}

// PlanRun gives the least whole frames that meet every demand, and what they
// take. A demand without places, or none at all, is an error.
func (l *Layout) PlanRun(demands []Demand, t Terms) (*Run, error) {
	run := &Run{}
	for i, d := range demands {
		if d.Places <= 0 || d.Quantity <= 0 {
			return nil, fmt.Errorf("product %d has %d labels ordered on %d stations; both must be at least 1", i+1, d.Quantity, d.Places)
		}
		need := t.Overs.More(d.Quantity)
		places := int64(d.Places)
		run.Frames = max(run.Frames, (need+places-1)/places)
		run.Ordered += d.Quantity
	}
	if run.Frames == 0 {
		return nil, fmt.Errorf("nothing is ordered")
	}
	for _, d := range demands {
		run.Labels += run.Frames * int64(d.Places)
	}
	run.Net = Length(run.Frames) * l.Repeat
	run.Gross = t.RunWaste.MoreLength(run.Net) + t.Setup
	if t.Speed > 0 {
		run.Minutes = float64(run.Gross)/float64(t.Speed) + t.SetupMin
	}
	run.account(l, t)
	return run, nil
}

// account fills in the yield and the accounts.
func (r *Run) account(l *Layout, t Terms) {
	gross := l.Web.Width.MM() * r.Gross.MM()
	ofGross := float64(r.Net) / float64(r.Gross)
	split := l.Split()
	a := Accounts{
		Label:     100 * float64(r.Ordered) * l.Area / gross,
		Matrix:    split.Matrix * ofGross,
		Edge:      split.Edge * ofGross,
		Tail:      split.Tail * ofGross,
		Run:       100 * float64(r.Gross-r.Net-t.Setup) / float64(r.Gross),
		MakeReady: 100 * float64(t.Setup) / float64(r.Gross),
	}
	// Blank stations, where there are any, are neither ordered nor over: they
	// are stripped like the matrix.
	made := 100 * float64(r.Labels) * l.Area / gross
	a.Overs = made - a.Label
	a.Matrix += split.Label*ofGross - made
	r.Yield = a.Label
	r.Accounts = a
}
