package geometry

import "fmt"

// MasterRolls returns how many master rolls a run unwinds. Where finished rolls
// may be spliced, the web runs on from one master roll to the next and only
// its length counts. Where they may not, a finished roll must come from one
// master roll: what is left of a master roll that is too short for one more is
// waste, and the answer is more rolls, or an error when a master roll is
// shorter than a finished one.
//
// Gross is the run's web with set-up and run waste; finished is the web of one
// finished roll, ignored when splices are allowed. Common practice, no source.
func (r *Usage) MasterRolls(t Terms, master, finished Length, spliced bool) (int64, error) {
	if master <= 0 {
		return 0, &hintError{fmt.Sprintf("a master roll of %s holds nothing", master), "give the length of a master roll, as in 2000m"}
	}
	if spliced || finished <= 0 {
		return int64((r.Gross + master - 1) / master), nil
	}
	each := t.RunWaste.MoreLength(finished)
	if master < t.Setup+each {
		return 0, &hintError{
			fmt.Sprintf("a master roll of %s is too short for the set-up and one finished roll of %s without a splice", master, each),
			"allow splices, or make the finished rolls shorter",
		}
	}
	left := int64((r.Net + finished - 1) / finished) // finished rolls of each lane
	first := int64((master - t.Setup) / each)
	if left <= first {
		return 1, nil
	}
	perRoll := int64(master / each)
	return 1 + (left-first+perRoll-1)/perRoll, nil
}
