// Package sorting finds runs whose lanes may hold several orders, where the labels of
// such lanes are told apart by hand at a price: whether a lane is worth sharing depends
// on how long its run is.
//
// A run gives each order places, one label of a frame each. Of p places in lanes of so
// many rows, p mod rows stand in a lane that another order shares, or that isn't full, at
// least; all others can fill lanes of their own. So the labels that are sorted cost
//
//	Sort * length * sum of (p mod rows)
//
// at least, order by order, which is what the bounds of this package count, and all that
// they count of it: they are bounds for orders of any arrangement in their lanes.
package sorting

// Problem is orders of one bed.
type Problem struct {
	Needs        []int64 // labels of each order
	Places, Rows int64   // of a run: labels of a frame, and those of a lane
	Least        int64   // length of a run in frames
	// Frame is what a frame costs, Run what a run costs beside its frames, Sort what it
	// costs to sort a label.
	Frame, Run, Sort int64
}

// Run is one set-up: the places of each order in its frames.
type Run struct {
	Length int64
	Places []int64
}

// Plan is runs and what they cost with the sorting of their labels at least.
type Plan struct {
	Runs []Run
	Cost int64
}

// never is a cost above all.
const never = 1 << 60

// sorted is how many places of an order are in lanes that are sorted, at least.
func (p *Problem) sorted(places int64) int64 { return places % p.Rows }

// whole rounds places up to whole lanes.
func (p *Problem) whole(places int64) int64 { return ceilDiv(places, p.Rows) * p.Rows }

// volume is how many frames all labels need at least.
func (p *Problem) volume() int64 {
	sum := int64(0)
	for _, n := range p.Needs {
		sum += n
	}
	return ceilDiv(sum, p.Places)
}

func ceilDiv(a, b int64) int64 { return (a + b - 1) / b }
