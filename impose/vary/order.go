package vary

import "fmt"

// Order says which record stands at which station, so that the first label
// that comes off the customer's roll is the first record.
//
// A web comes off a roll from the end that was wound last. So where the web is
// wound an odd number of times, the customer sees the frames from the last to
// the first, and rows from the last to the first.
type Order struct {
	Lanes   []int // of the label, as numbered on the press, in the order in which records take them
	Rows    int   // on a frame
	Records int64
	Across  bool // records run across the lanes; otherwise each lane is a block of its own
	// LastFirst says that the customer sees the label printed last first.
	LastFirst bool
	PerRoll   int64 // labels on a finished roll of a lane; 0: the lane is one roll
	// Change is how many change-over labels stand between two rolls of a lane. They
	// are no labels of the customer's, and none of them has a record.
	Change int64 `json:",omitempty"`
}

// What stands at a station.
type what int

const (
	printed  what = iota // a record
	changing             // a change-over label
	spare                // nothing that is left
)

// changed returns how many change-over labels stand between the rolls that so many
// labels of a lane fill.
func (o *Order) changed(labels int64) int64 {
	if o.PerRoll == 0 || labels == 0 {
		return 0
	}
	return (labels - 1) / o.PerRoll * o.Change
}

// fullest returns how many labels the lane with the most has.
func (o *Order) fullest() int64 {
	lanes := int64(len(o.Lanes))
	return (o.Records + lanes - 1) / lanes
}

// Frames returns how many frames the records fill, with the change-over labels
// between their rolls.
func (o *Order) Frames() int64 {
	n := o.fullest()
	rows := int64(o.Rows)
	return (n + o.changed(n) + rows - 1) / rows
}

// taken returns how many stations of a lane labels and change-over labels take.
func (o *Order) taken(lane int) int64 {
	n := o.Labels(lane)
	return n + o.changed(n)
}

// Changes returns how many change-over labels there are in all lanes.
func (o *Order) Changes() (n int64) {
	for lane := range o.Lanes {
		n += o.ChangesIn(lane)
	}
	return n
}

// ChangesIn returns how many of them a lane has.
func (o *Order) ChangesIn(lane int) int64 { return o.changed(o.Labels(lane)) }

// Spare returns how many stations are left over.
func (o *Order) Spare() int64 {
	return o.Frames()*int64(len(o.Lanes)*o.Rows) - o.Records - o.Changes()
}

// SpareFrames returns the frames that have the spare stations, from first to before
// end, counted from 0: one, but where a lane without a last change is shorter
// than its neighbours. They come behind the last record on the customer's roll,
// so they are the last frames, or the first when the last is seen first.
func (o *Order) SpareFrames() (first, end int64) {
	frames := o.Frames()
	most := int64(0)
	for lane := range o.Lanes {
		most = max(most, frames*int64(o.Rows)-o.taken(lane))
	}
	n := (most + int64(o.Rows) - 1) / int64(o.Rows)
	if o.LastFirst {
		return 0, n
	}
	return frames - n, frames
}

// spareAt says which frames have spare stations.
func (o *Order) spareAt() string {
	first, end := o.SpareFrames()
	if end-first == 1 {
		return fmt.Sprintf("frame %d", end)
	}
	return fmt.Sprintf("frames %d to %d", first+1, end)
}

// At returns which record, from 0, stands in a frame, counted from 0, in a lane,
// by its index in Lanes, and in a row, from 0; false where none does.
func (o *Order) At(frame int64, lane, row int) (record int64, ok bool) {
	record, is := o.at(frame, lane, row)
	return record, is == printed
}

// at is At with what else a station may carry.
func (o *Order) at(frame int64, lane, row int) (record int64, is what) {
	seen := o.SeenBefore(frame, row)
	if o.PerRoll > 0 && o.Change > 0 {
		left := o.taken(lane) - 1 - seen // stations of the lane that the customer sees behind it
		if left < 0 {
			return 0, spare
		}
		rolls, behind := left/(o.PerRoll+o.Change), left%(o.PerRoll+o.Change)
		if behind >= o.PerRoll {
			return 0, changing
		}
		seen = o.Labels(lane) - 1 - rolls*o.PerRoll - behind
	} else if seen >= o.Labels(lane) {
		return 0, spare
	}
	if o.Across {
		return seen*int64(len(o.Lanes)) + int64(lane), printed
	}
	return o.first(lane) + seen, printed
}

// SeenBefore returns how many stations of a lane the customer sees before a row.
func (o *Order) SeenBefore(frame int64, row int) int64 {
	printed := frame*int64(o.Rows) + int64(row)
	if o.LastFirst {
		return o.Frames()*int64(o.Rows) - 1 - printed
	}
	return printed
}

// Roll returns which finished roll of its lane a label is on, in the order in
// which the last rewinder winds them: the first is 1. What is wound last comes
// off first, so the rewinder begins with the lane's last record, and the roll
// that isn't full is the last one wound, which has the lane's first record.
// Spare stations run before the first roll and count as on it, change-over
// labels behind the roll that they end.
func (o *Order) Roll(frame int64, lane, row int) int64 {
	if o.PerRoll == 0 {
		return 1
	}
	return max(0, o.taken(lane)-1-o.SeenBefore(frame, row))/(o.PerRoll+o.Change) + 1
}

// onRoll returns the first and the last record, from 0, of a roll of a lane, as the
// customer sees them.
func (o *Order) onRoll(lane int, roll int64) (first, last int64) {
	labels := o.Labels(lane)
	first, last = max(0, labels-roll*o.PerRoll), labels-1-(roll-1)*o.PerRoll
	if o.Across {
		lanes := int64(len(o.Lanes))
		return first*lanes + int64(lane), last*lanes + int64(lane)
	}
	return o.first(lane) + first, o.first(lane) + last
}

// Rolls returns how many finished rolls a lane makes.
func (o *Order) Rolls(lane int) int64 {
	n := o.Labels(lane)
	if o.PerRoll == 0 {
		return min(n, 1)
	}
	return (n + o.PerRoll - 1) / o.PerRoll
}

// Labels returns how many records a lane has.
func (o *Order) Labels(lane int) int64 {
	if !o.Across {
		return o.first(lane+1) - o.first(lane)
	}
	lanes := int64(len(o.Lanes))
	return (o.Records + lanes - 1 - int64(lane)) / lanes
}

// Place returns where a record stands, the inverse of At.
func (o *Order) Place(record int64) (frame int64, lane, row int) {
	var seen int64
	if o.Across {
		lanes := int64(len(o.Lanes))
		seen, lane = record/lanes, int(record%lanes)
	} else {
		for lane+1 < len(o.Lanes) && o.first(lane+1) <= record {
			lane++
		}
		seen = record - o.first(lane)
	}
	if o.PerRoll > 0 {
		seen += (o.Labels(lane)-1)/o.PerRoll*o.Change - (o.Labels(lane)-1-seen)/o.PerRoll*o.Change
	}
	at := seen
	if o.LastFirst {
		at = o.Frames()*int64(o.Rows) - 1 - seen
	}
	return at / int64(o.Rows), lane, int(at % int64(o.Rows))
}

// first returns the first record of a lane's block. The lanes share the records as
// evenly as can be, the last ones taking one less.
func (o *Order) first(lane int) int64 {
	lanes := int64(len(o.Lanes))
	short := o.fullest()*lanes - o.Records
	l := int64(lane)
	return l*o.fullest() - max(0, l-(lanes-short))
}

// Last returns the record that the customer sees last of a lane; false for a lane
// without any.
func (o *Order) Last(lane int) (record int64, ok bool) {
	if !o.Across {
		return o.first(lane+1) - 1, o.first(lane+1) > o.first(lane)
	}
	lanes := int64(len(o.Lanes))
	last := (o.Records-1)/lanes*lanes + int64(lane)
	if last >= o.Records {
		last -= lanes
	}
	return last, last >= 0
}

// In returns how many labels and how many change-over labels stand in so many frames,
// the first of them counted from 0.
func (o *Order) In(first, frames int64) (labels, changes int64) {
	from, to := first*int64(o.Rows), (first+frames)*int64(o.Rows)
	if all := o.Frames() * int64(o.Rows); o.LastFirst {
		from, to = all-to, all-from
	}
	for lane := range o.Lanes {
		n := o.behind(lane, from) - o.behind(lane, to)
		labels += n
		changes += max(0, min(to, o.taken(lane))-from) - n
	}
	return labels, changes
}

// behind returns how many labels of a lane stand at stations from one on, as the
// customer sees them.
func (o *Order) behind(lane int, from int64) int64 {
	left := max(0, o.taken(lane)-from)
	if o.PerRoll == 0 {
		return left
	}
	each := o.PerRoll + o.Change
	return left/each*o.PerRoll + min(left%each, o.PerRoll)
}
