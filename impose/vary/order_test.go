package vary_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"quoin/impose/vary"
)

// drawn shows the frames as the press prints them, one line a row, the first
// printed at the top.
func drawn(o vary.Order) string {
	var b strings.Builder
	for frame := range o.Frames() {
		for row := range o.Rows {
			for lane := range o.Lanes {
				if record, ok := o.At(frame, lane, row); ok {
					fmt.Fprintf(&b, "%3d", record+1)
				} else {
					b.WriteString("  -")
				}
			}
			b.WriteByte('\n')
		}
		b.WriteByte('\n')
	}
	return strings.Join(strings.Fields(strings.ReplaceAll(b.String(), "\n", " / ")), " ")
}

// Worked by hand: 3 lanes, 2 rows, 10 records fill two frames with 2 spare
// stations. Wound once, the customer unwinds from the label printed last, so
// record 1 is printed last; the spare stations come behind the last records.
func TestOrder(t *testing.T) {
	three := []int{1, 2, 3}
	for _, c := range []struct {
		order vary.Order
		want  string
	}{
		{vary.Order{Lanes: three, Rows: 2, Records: 10}, "1 5 8 / 2 6 9 / / 3 7 10 / 4 - - / /"},
		{vary.Order{Lanes: three, Rows: 2, Records: 10, LastFirst: true}, "4 - - / 3 7 10 / / 2 6 9 / 1 5 8 / /"},
		{vary.Order{Lanes: three, Rows: 2, Records: 10, Across: true}, "1 2 3 / 4 5 6 / / 7 8 9 / 10 - - / /"},
		{vary.Order{Lanes: three, Rows: 2, Records: 10, Across: true, LastFirst: true}, "10 - - / 7 8 9 / / 4 5 6 / 1 2 3 / /"},
		{vary.Order{Lanes: three, Rows: 2, Records: 1}, "1 - - / - - - / /"},
	} {
		if got := drawn(c.order); got != c.want {
			t.Errorf("%+v\n got %s\nwant %s", c.order, got, c.want)
		}
	}
}

// Every record stands at one station, what is spare stands in one frame, and
// along each lane the customer sees records in order, with nothing but spare
// stations behind the last.
func TestOrderLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := vary.Order{
			Lanes: make([]int, rapid.IntRange(1, 12).Draw(t, "lanes")), Rows: rapid.IntRange(1, 9).Draw(t, "rows"),
			Records: rapid.Int64Range(1, 2000).Draw(t, "records"), Across: rapid.Bool().Draw(t, "across"),
			LastFirst: rapid.Bool().Draw(t, "last first"), PerRoll: rapid.Int64Range(0, 50).Draw(t, "roll"),
			Change: rapid.Int64Range(0, 9).Draw(t, "change"),
		}
		seen := map[int64]bool{}
		spare, changes := int64(0), int64(0)
		first, end := o.SpareFrames()
		cut := rapid.Int64Range(0, o.Frames()).Draw(t, "cut")
		inFirst := [2]int64{}                            // labels and change-over labels before the cut
		unwound := make([]map[int64]int64, len(o.Lanes)) // by lane and place on the roll
		for frame := range o.Frames() {
			for row := range o.Rows {
				for lane := range o.Lanes {
					record, ok := o.At(frame, lane, row)
					switch {
					case vary.Changing(&o, frame, lane, row):
						changes++
						if frame < cut {
							inFirst[1]++
						}
						continue
					case !ok:
						spare++
						if frame < first || frame >= end {
							t.Fatalf("a spare station in frame %d, and they are said to be in %d to %d", frame, first, end)
						}
						continue
					case frame < cut:
						inFirst[0]++
					}
					if seen[record] || record < 0 || record >= o.Records {
						t.Fatalf("record %d is doubled or strange", record)
					}
					seen[record] = true
					if unwound[lane] == nil {
						unwound[lane] = map[int64]int64{}
					}
					unwound[lane][o.SeenBefore(frame, row)] = record
				}
			}
		}
		if int64(len(seen)) != o.Records || spare != o.Spare() || changes != o.Changes() {
			t.Fatalf("%d records, %d spare stations, %d changes, want %d, %d and %d", len(seen), spare, changes, o.Records, o.Spare(), o.Changes())
		}
		if labels, changes := o.In(0, cut); labels != inFirst[0] || changes != inFirst[1] {
			t.Fatalf("%d labels and %d changes in %d frames, want %d", labels, changes, cut, inFirst)
		}
		if labels, changes := o.In(cut, o.Frames()-cut); labels+inFirst[0] != o.Records || changes+inFirst[1] != o.Changes() {
			t.Fatalf("%d labels and %d changes behind frame %d", labels, changes, cut)
		}
		for lane, labels := range unwound {
			last := int64(-1)
			for _, i := range slices.Sorted(maps.Keys(labels)) {
				if labels[i] <= last || o.Change == 0 && i != int64(len(labels))-1 && labels[i+1] == 0 {
					t.Fatalf("lane %d: record %d behind %d at place %d", lane, labels[i], last, i)
				}
				last = labels[i]
			}
			if int64(len(labels)) != o.Labels(lane) {
				t.Fatalf("lane %d has %d labels, and says %d", lane, len(labels), o.Labels(lane))
			}
		}
		for record := range o.Records {
			frame, lane, row := o.Place(record)
			if got, ok := o.At(frame, lane, row); !ok || got != record {
				t.Fatalf("record %d is said to stand where %d does", record, got)
			}
		}
	})
}

// Rolls are counted by a rewinder that is played label by label: it takes up the
// lane from the end that the customer sees last, cuts behind so many labels, and
// each finished roll pays out from the label wound last.
func TestRollsAreAsWound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := vary.Order{
			Lanes: make([]int, rapid.IntRange(1, 5).Draw(t, "lanes")), Rows: rapid.IntRange(1, 6).Draw(t, "rows"),
			Records: rapid.Int64Range(1, 400).Draw(t, "records"), Across: rapid.Bool().Draw(t, "across"),
			LastFirst: rapid.Bool().Draw(t, "last first"), PerRoll: rapid.Int64Range(1, 50).Draw(t, "roll"),
			Change: rapid.Int64Range(0, 4).Draw(t, "change"),
		}
		for lane := range o.Lanes {
			type label struct {
				record, roll int64
			}
			var web, all []label // as printed; record -1 is a change-over label
			for frame := range o.Frames() {
				for row := range o.Rows {
					if record, ok := o.At(frame, lane, row); ok {
						web = append(web, label{record, o.Roll(frame, lane, row)})
						all = append(all, web[len(web)-1])
					} else if vary.Changing(&o, frame, lane, row) {
						all = append(all, label{-1, o.Roll(frame, lane, row)})
					}
				}
			}
			// Wound once, the rewinder takes the web as it is printed; any even
			// number of windings turns it about.
			if !o.LastFirst {
				slices.Reverse(web)
				slices.Reverse(all)
			}
			for i, l := range all { // behind each roll so many changes, and none behind the last
				at, within := int64(i)/(o.PerRoll+o.Change), int64(i)%(o.PerRoll+o.Change)
				if (within >= o.PerRoll) != (l.record < 0) || l.roll != at+1 || i == len(all)-1 && l.record < 0 {
					t.Fatalf("lane %d: at place %d as wound, on roll %d, stands record %d", lane, i, l.roll, l.record)
				}
			}
			for i, l := range web {
				if want := int64(i)/o.PerRoll + 1; l.roll != want {
					t.Fatalf("lane %d: label %d that is wound is on roll %d, want %d", lane, i+1, l.roll, want)
				}
				if i > 0 && l.record >= web[i-1].record {
					t.Fatalf("lane %d: the customer doesn't see the records in order", lane)
				}
			}
			if n := int64(len(web)); n > 0 && o.Rolls(lane) != web[n-1].roll {
				t.Fatalf("lane %d: %d rolls, want %d", lane, o.Rolls(lane), web[n-1].roll)
			}
		}
	})
}
