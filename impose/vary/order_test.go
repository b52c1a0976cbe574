package vary_test

import (
	"fmt"
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
		}
		seen := map[int64]bool{}
		spare := int64(0)
		unwound := make([]map[int64]int64, len(o.Lanes)) // by lane and place on the roll
		for frame := range o.Frames() {
			for row := range o.Rows {
				for lane := range o.Lanes {
					record, ok := o.At(frame, lane, row)
					if !ok {
						spare++
						if frame != o.SpareFrame() {
							t.Fatalf("a spare station in frame %d", frame)
						}
						continue
					}
					if seen[record] || record < 0 || record >= o.Records {
						t.Fatalf("record %d is doubled or strange", record)
					}
					seen[record] = true
					if unwound[lane] == nil {
						unwound[lane] = map[int64]int64{}
					}
					unwound[lane][o.Seen(frame, row)] = record
				}
			}
		}
		if int64(len(seen)) != o.Records || spare != o.Spare() {
			t.Fatalf("%d records and %d spare stations, want %d and %d", len(seen), spare, o.Records, o.Spare())
		}
		for lane, labels := range unwound {
			last := int64(-1)
			for i := range int64(len(labels)) {
				record, ok := labels[i]
				if !ok || record <= last {
					t.Fatalf("lane %d: record %d behind %d at place %d", lane, record, last, i)
				}
				last = record
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
		}
		for lane := range o.Lanes {
			type label struct {
				record, roll int64
			}
			var web []label // as printed
			for frame := range o.Frames() {
				for row := range o.Rows {
					if record, ok := o.At(frame, lane, row); ok {
						web = append(web, label{record, o.Roll(frame, lane, row)})
					}
				}
			}
			// Wound once, the rewinder takes the web as it is printed; any even
			// number of windings turns it about.
			if !o.LastFirst {
				slices.Reverse(web)
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
