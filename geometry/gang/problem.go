package gang

import (
	"errors"
	"fmt"
)

// Order is what one customer wants from the night.
type Order struct {
	// Name is used in messages only.
	Name string
	// Demand is the least quantity, above 0, in the unit of run lengths: what
	// one lane of a run of length Demand yields.
	Demand int64
	// Most is the greatest quantity that is accepted, so Most-Demand are the
	// overs allowed; 0 sets no limit.
	Most int64
	// Width is what one lane of the order takes of the capacity; 0 means 1.
	Width int64
	// NoSplit keeps the whole order in one run.
	NoSplit bool
}

// Problem is a set of orders that may share runs: one material, one ink set,
// one die or one band. Orders that must run alone (drug labels) are problems
// of their own.
type Problem struct {
	Orders []Order
	// Capacity is the number of lanes or stations of a run, or the width of
	// the band in the unit of Order.Width.
	Capacity int64
	// Step is the grain of run lengths, such as a repeat; 0 means 1.
	Step int64
	// LengthCost is the cost of one unit of run length, above 0, and RunCost
	// that of one set-up, in one money, time or length unit so small that both
	// are whole: the costs of two plans are then compared exactly.
	LengthCost, RunCost int64
	// MaxRuns limits the number of runs; 0 sets no limit. With RunCost 0 it
	// asks for the least length in that many runs.
	MaxRuns int
	// MaxOrders limits the orders that share one run; 0 sets no limit.
	MaxOrders int
	// LeastLength limits the length of every run from below; 0 sets no limit.
	LeastLength int64
	// Together are sets of orders, by index, each of which is printed in one run.
	// Apart are pairs of which no run holds both.
	Together [][]int  `json:",omitempty"`
	Apart    [][2]int `json:",omitempty"`
	// Start is runs that are known, where the search begins if they print all and
	// keep the rules.
	Start []Run `json:",omitempty"`
}

// errNoPlan says that the limits leave no plan, or that the search found none.
var errNoPlan = errors.New("no plan keeps the limits")

// ErrTooLarge says that the search can't add up what is asked for.
var ErrTooLarge = errors.New("demands, widths or costs are too large to add up: use coarser units")

// maxTotal bounds every product that the search forms, far enough under the
// limit of int64 for sums of a few.
const maxTotal = noCost / 2

// Validate reports the first fault of the problem, naming the order and the
// way out. A problem that passes may still have no plan.
func (p *Problem) Validate() error {
	switch {
	case len(p.Orders) == 0:
		return errors.New("no orders to plan")
	case p.Capacity <= 0:
		return fmt.Errorf("capacity %d must be above 0", p.Capacity)
	case p.Step < 0:
		return fmt.Errorf("step %d must not be negative", p.Step)
	case p.LengthCost <= 0:
		return fmt.Errorf("length cost %d must be above 0", p.LengthCost)
	case p.RunCost < 0:
		return fmt.Errorf("run cost %d must not be negative", p.RunCost)
	case p.MaxRuns < 0 || p.MaxOrders < 0 || p.LeastLength < 0:
		return errors.New("limits of runs, orders and lengths must not be negative; 0 sets no limit")
	}
	step := max(p.Step, 1)
	volume, length, width := 0.0, 0.0, 0.0
	for i := range p.Orders {
		o := &p.Orders[i]
		if err := p.validateOrder(o); err != nil {
			return fmt.Errorf("order %s: %w", p.name(i), err)
		}
		w := float64(max(o.Width, 1))
		longest := float64(max(o.Demand, p.LeastLength) + step)
		volume += w * longest
		length += longest
		width += w
	}
	if volume > maxTotal || length*float64(p.LengthCost) > maxTotal ||
		width*float64(p.Capacity) > maxTotal || float64(p.RunCost)*2*float64(len(p.Orders)+1) > maxTotal {
		return ErrTooLarge
	}
	return p.validatePins()
}

func (p *Problem) validateOrder(o *Order) error {
	step := max(p.Step, 1)
	switch {
	case o.Demand <= 0:
		return fmt.Errorf("demand %d must be above 0", o.Demand)
	case o.Width < 0:
		return fmt.Errorf("width %d must not be negative", o.Width)
	case max(o.Width, 1) > p.Capacity:
		return fmt.Errorf("width %d does not fit the capacity %d", o.Width, p.Capacity)
	case o.Most != 0 && o.Most < o.Demand:
		return fmt.Errorf("greatest quantity %d is under the demand %d", o.Most, o.Demand)
	case o.Most != 0 && o.Most/step < ceilDiv(o.Demand, step):
		return fmt.Errorf("no whole number of steps of %d lies between the demand %d and the greatest quantity %d: allow more overs",
			step, o.Demand, o.Most)
	case o.Most != 0 && o.Most < p.LeastLength:
		return fmt.Errorf("greatest quantity %d is under the least run length %d: allow more overs or shorter runs",
			o.Most, p.LeastLength)
	}
	return nil
}

// name is how messages call order i.
func (p *Problem) name(i int) string {
	if n := p.Orders[i].Name; n != "" {
		return fmt.Sprintf("%q", n)
	}
	return fmt.Sprint(i + 1)
}

// ceilDiv is the least integer not under a/b, for a >= 0 and b > 0.
func ceilDiv(a, b int64) int64 {
	q := a / b
	if q*b < a {
		q++
	}
	return q
}
