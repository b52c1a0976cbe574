package vary

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
}

// Frames gives how many frames the records fill.
func (o *Order) Frames() int64 {
	each := int64(len(o.Lanes) * o.Rows)
	return (o.Records + each - 1) / each
}

// Spare gives how many stations are left over, fewer than a frame has.
func (o *Order) Spare() int64 { return o.Frames()*int64(len(o.Lanes)*o.Rows) - o.Records }

// SpareFrame gives the one frame, from 0, that has all the spare stations. They
// come behind the last record on the customer's roll, so they are in the last
// frame, or in the first when the last is seen first.
func (o *Order) SpareFrame() int64 {
	if o.LastFirst {
		return 0
	}
	return o.Frames() - 1
}

// At gives which record, from 0, stands in a frame, counted from 0, in a lane,
// by its index in Lanes, and in a row, from 0; false for a spare station. Seen
// gives how many labels of the lane the customer sees before it.
func (o *Order) At(frame int64, lane, row int) (record int64, ok bool) {
	seen := o.Seen(frame, row)
	if o.Across {
		record = seen*int64(len(o.Lanes)) + int64(lane)
		return record, record < o.Records
	}
	return o.first(lane) + seen, seen < o.first(lane+1)-o.first(lane)
}

// Seen gives how many labels of a lane the customer sees before a row.
func (o *Order) Seen(frame int64, row int) int64 {
	printed := frame*int64(o.Rows) + int64(row)
	if o.LastFirst {
		return o.Frames()*int64(o.Rows) - 1 - printed
	}
	return printed
}

// Roll gives which finished roll of its lane a label is on, in the order in
// which the last rewinder winds them: the first is 1. What is wound last comes
// off first, so the rewinder begins with the lane's last record, and the roll
// that isn't full is the last one wound, which has the lane's first record.
// Spare stations run before the first roll and count as on it.
func (o *Order) Roll(frame int64, lane, row int) int64 {
	if o.PerRoll == 0 {
		return 1
	}
	return max(0, o.Labels(lane)-1-o.Seen(frame, row))/o.PerRoll + 1
}

// Rolls gives how many finished rolls a lane makes.
func (o *Order) Rolls(lane int) int64 {
	n := o.Labels(lane)
	if o.PerRoll == 0 {
		return min(n, 1)
	}
	return (n + o.PerRoll - 1) / o.PerRoll
}

// Labels gives how many records a lane has.
func (o *Order) Labels(lane int) int64 {
	if !o.Across {
		return o.first(lane+1) - o.first(lane)
	}
	lanes := int64(len(o.Lanes))
	return (o.Records + lanes - 1 - int64(lane)) / lanes
}

// Place gives where a record stands, the inverse of At.
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
	printed := seen
	if o.LastFirst {
		printed = o.Frames()*int64(o.Rows) - 1 - seen
	}
	return printed / int64(o.Rows), lane, int(printed % int64(o.Rows))
}

// first gives the first record of a lane's block. The lanes share the spare
// stations as evenly as can be, the last ones taking one more.
func (o *Order) first(lane int) int64 {
	lanes, spare := int64(len(o.Lanes)), o.Spare()
	each, more := spare/lanes, spare%lanes
	l := int64(lane)
	return l*(o.Frames()*int64(o.Rows)-each) - max(0, l-(lanes-more))
}

// Last gives the record that the customer sees last of a lane; false for a lane
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
