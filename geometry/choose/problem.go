package choose

import (
	"math"

	"quoin/geometry/gang"
)

// Problem is orders that may be printed in several ways.
type Problem struct {
	Orders int
	Beds   []Bed
	Kinds  []int // by order: those of one kind have the same inks
	// Enter is what it costs to set up a tool for the first time, once for all cells
	// on its beds; LeastEnter is what it costs at least. The choice is by the first, the
	// bound by the second.
	Enter, LeastEnter int64
	// Mixes are the sets of inks that cells may have; none where they are too many to
	// list. Cells are then looked for one after the other.
	Mixes []Mix
	// Lane is what a lane of an order costs beside its run on a bed, at least, when
	// that is from low to high long: rolls to be made ready. nil: nothing.
	Lane func(bed, order int, low, high int64) int64 `json:"-"`
	// Reels are orders by what their lanes cost: those of one number cost the same.
	Reels []int
	// Entries are what it costs at least to print all orders on one tool, by tool: with
	// runs of some mixes only. Each choice of one tool has one of them. None: LeastEnter.
	Entries []Entry
	// Together are sets of orders that share one cell.
	Together [][]int
	// OnlyBound says that no choice is asked for but those started from.
	OnlyBound bool
	// Gang states orders, which rise, on a bed for the search; false where the
	// bed can't print them together.
	Gang func(bed int, orders []int) (gang.Problem, bool) `json:"-"`
}

// Entry is what it costs at least to print all orders on a tool with runs of some
// mixes of inks.
type Entry struct {
	Tool  int
	Mixes []bool // by mix; nil: all
	Cost  int64
}

// Mix is a set of inks with the kinds of orders that need no others.
type Mix struct {
	Inks  int
	Kinds []bool
}

// Bed is a way to print.
type Bed struct {
	Tool     int   // one for all beds that use it
	Capacity int64 // as gang.Problem has it
	// Sort is what each unit of a run's length costs for each of an order's lanes beyond a
	// multiple of Rows, at least: those share one of so many with others. 0: nothing.
	Rows, Sort int64
	Least      int64 // length of a run
	// Ladder is what runs cost, by the number of inks. A cell of more inks than
	// it has steps can't be printed.
	Ladder []Rate
	// Rigid says that orders have limits beside their demand, so that a bed of
	// more lanes need not serve as well.
	Rigid  bool
	Offers []Offer // by order
}

// Rate is what a run costs for each unit of its length, and once.
type Rate struct{ Length, Run int64 }

// Offer is what an order asks of a bed; Demand 0 says that it can't be printed
// there.
type Offer struct {
	gang.Offer
	Inks int
}

// Cell is orders that share the runs of one bed.
type Cell struct {
	Bed    int
	Orders []int // rising
	// Runs that print them, with orders by place in Orders; none where nobody looked.
	Runs []gang.Run
}

// Choice is orders shared out over beds.
type Choice struct {
	Cells []Cell
	// Apart are the best cells before runs of all beds were looked for together, with
	// their runs: with what changes between runs they may cost less. None where Cells
	// are those.
	Apart  []Cell
	Cost   int64 // of the plans that a short search found, with Enter for each tool
	Bound  int64 // that no choice undercuts, with LeastEnter for each tool
	Proved bool  // that none costs less than Cost
	// Lanes is the same with what lanes cost beside their runs; 0 where nobody looked.
	Lanes int64
	Steps int64 // that were spent
}

// never is a cost above all.
const never = math.MaxInt64 / 4

// rate returns a cost that no run with an order of so many inks undercuts.
func (b *Bed) rate(inks int) Rate {
	least := Rate{never, never}
	for k := inks; k < len(b.Ladder); k++ {
		least.Length, least.Run = min(least.Length, b.Ladder[k].Length), min(least.Run, b.Ladder[k].Run)
	}
	return least
}

// serves reports whether all that bed o prints can be printed on b for no more.
func (b *Bed) serves(o *Bed) bool {
	if len(b.Ladder) < len(o.Ladder) || b.Capacity < o.Capacity || b.Least > o.Least {
		return false
	}
	if b.Sort > o.Sort || b.Sort > 0 && b.Rows != o.Rows {
		return false
	}
	rigid := b.Rigid || o.Rigid
	if rigid && (b.Capacity != o.Capacity || b.Least != o.Least) {
		return false
	}
	for k, r := range o.Ladder {
		if b.Ladder[k].Length > r.Length || b.Ladder[k].Run > r.Run {
			return false
		}
	}
	for i, x := range o.Offers {
		y := b.Offers[i]
		switch {
		case x.Demand == 0:
		case y.Demand == 0 || y.Demand > x.Demand || y.Width > x.Width || y.Inks > x.Inks:
			return false
		case rigid && (y.Demand != x.Demand || y.Width != x.Width):
			return false
		}
	}
	return true
}

// useful lists the beds that no other serves as well.
func (p *Problem) useful() []int {
	var out []int
	for i := range p.Beds {
		served := false
		for k := range p.Beds {
			served = served || i != k && p.Beds[k].serves(&p.Beds[i]) && (k < i || !p.Beds[i].serves(&p.Beds[k]))
		}
		if !served {
			out = append(out, i)
		}
	}
	return out
}

// gang states orders on a bed for the search; false where the bed can't print
// them together, or some that stay with them are not there.
func (p *Problem) gang(bed int, orders []int) (gang.Problem, bool) {
	if len(p.Together) > 0 && len(p.whole(orders)) > len(orders) {
		return gang.Problem{}, false
	}
	return p.Gang(bed, orders)
}

// takes reports whether a bed takes all of the orders.
func (p *Problem) takes(bed int, orders []int) bool {
	for _, i := range orders {
		if p.Beds[bed].Offers[i].Demand == 0 {
			return false
		}
	}
	return true
}
