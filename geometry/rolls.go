package geometry

import (
	"cmp"
	"fmt"
	"slices"
)

// Piece is a stretch of good labels from one lane.
type Piece struct {
	Lane   int
	Labels int64
}

// LaneRolls says what one lane gives.
type LaneRolls struct {
	Lane   int
	Labels int64 // in all
	Full   int64 // rolls
	Rest   int64 // labels behind the last full roll
}

// RollCount says how the lanes of one product become rolls.
type RollCount struct {
	Lanes   []LaneRolls
	Full    int64     // rolls without a splice
	Spliced [][]Piece // full rolls joined from rests
	Parts   []Piece   // what is left: part rolls
}

// Rolls returns the full rolls, joined ones included.
func (c *RollCount) Rolls() int64 { return c.Full + int64(len(c.Spliced)) }

// Splices returns the splices in all joined rolls.
func (c *RollCount) Splices() int {
	n := 0
	for _, pieces := range c.Spliced {
		n += len(pieces) - 1
	}
	return n
}

// RollsFor returns the rolls that an order of one product takes, the last one
// perhaps not full.
func RollsFor(order, perRoll int64) int64 {
	if order <= 0 || perRoll <= 0 {
		return 0
	}
	return (order-1)/perRoll + 1
}

// CountRolls cuts the lanes of ONE product into rolls of perRoll labels and,
// where splices are allowed, joins what is left, with at most so many splices
// in a roll. The largest rests are joined first, which needs the fewest
// splices. Products must never be joined: call it for each on its own.
func CountRolls(lanes []Piece, perRoll int64, splices int) (*RollCount, error) {
	if perRoll < 1 {
		return nil, &hintError{"a roll without labels is none", "give at least 1 label for each roll"}
	}
	count := &RollCount{}
	for _, lane := range lanes {
		if lane.Labels < 0 {
			return nil, &hintError{fmt.Sprintf("lane %d has %d labels", lane.Lane, lane.Labels), "a lane has 0 labels or more"}
		}
		l := LaneRolls{lane.Lane, lane.Labels, lane.Labels / perRoll, lane.Labels % perRoll}
		count.Lanes = append(count.Lanes, l)
		count.Full += l.Full
		if l.Rest > 0 {
			count.Parts = append(count.Parts, Piece{l.Lane, l.Rest})
		}
	}
	for splices > 0 {
		roll, rest := joinLargest(count.Parts, perRoll, splices+1)
		if roll == nil {
			break
		}
		count.Spliced, count.Parts = append(count.Spliced, roll), rest
	}
	slices.SortStableFunc(count.Parts, func(a, b Piece) int { return cmp.Compare(a.Lane, b.Lane) })
	return count, nil
}

// joinLargest joins the fewest pieces that fill a roll and gives what is left;
// nil when not even the most pieces allowed do.
func joinLargest(pieces []Piece, perRoll int64, most int) (roll, rest []Piece) {
	sorted := slices.Clone(pieces)
	slices.SortStableFunc(sorted, func(a, b Piece) int { return cmp.Compare(b.Labels, a.Labels) })
	missing := perRoll
	for i, p := range sorted[:min(most, len(sorted))] {
		if p.Labels < missing {
			missing -= p.Labels
			continue
		}
		roll = append(roll, sorted[:i]...)
		roll = append(roll, Piece{p.Lane, missing})
		if p.Labels > missing {
			rest = append(rest, Piece{p.Lane, p.Labels - missing})
		}
		return roll, append(rest, sorted[i+1:]...)
	}
	return nil, pieces
}
