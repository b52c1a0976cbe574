package intake

import "quoin/impose/night"

// reel sets how many labels are on a roll of the order and, where rolls are
// whole, how many frames a lane prints for one.
func (o *Order) reel(r *night.Rules) {
	if o.PerRoll = o.LabelsPerRoll; o.PerRoll == 0 {
		o.PerRoll = r.House.Roll.Labels
	}
	if !r.WholeRolls || r.Mixed || o.PerRoll == 0 {
		return
	}
	if o.Limit > 0 && !r.Scrap && o.Rolls()*o.PerRoll > o.Limit {
		o.partRoll = true
		return
	}
	around := int64(o.Forme.Layout.Around)
	o.RollFrames = (o.PerRoll + around - 1) / around
}

// InWholeRolls returns the order as it is printed where rolls are whole.
func (o *Order) InWholeRolls(r *night.Rules) *Order {
	other := *o
	other.reel(r)
	return &other
}

// Rolls returns the rolls that the order fills, the last one in part perhaps.
func (o *Order) Rolls() int64 { return (o.Quantity - o.Printed + o.PerRoll - 1) / o.PerRoll }
