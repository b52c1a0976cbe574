package geometry

import "testing"

// TV-G16 to G18: bleed against gap, plain arithmetic. Two bleeds of 1/16 inch
// share a gap of 1/8 inch exactly; in a gap of 3 mm each is cut at the middle.
func TestBleedMeetsGap(t *testing.T) {
	for _, c := range []struct {
		id, gap, bleed, room string
		clipped              bool
	}{
		{"TV-G17", "3.175mm", "1.5875mm", "1.5875 mm", false},
		{"TV-G18", "3mm", "1.5875mm", "1.5 mm", true},
		{"no gap", "0mm", "1.5875mm", "0 mm", true},
		{"odd nanometre", "0.000003mm", "1mm", "0.000001 mm", true},
	} {
		gap, bleed := mustLength(t, c.gap), mustLength(t, c.bleed)
		r := worked(t)
		r.Gap, r.Bleed, r.Lanes, r.Rows = Size{gap, gap}, bleed, 3, 3
		l := mustPlan(t, r)
		room, clipped := l.BleedClipped()
		if room.Across.Digits()+" mm" != c.room || room.Around.Digits()+" mm" != c.room || clipped != c.clipped {
			t.Errorf("%s: got room for %v, clipped %v", c.id, room, clipped)
		}
		middle := l.Station[4]
		if want := (Box{Position{middle.Trim.Min.Across - room.Across, middle.Trim.Min.Around - room.Around},
			Position{middle.Trim.Max.Across + room.Across, middle.Trim.Max.Around + room.Around}}); middle.Clip != want {
			t.Errorf("%s: the middle station's clip is %v, want %v", c.id, middle.Clip, want)
		}
		// The outermost lanes have nobody to share with and keep the whole bleed.
		if left := l.Station[3]; left.Trim.Min.Across-left.Clip.Min.Across != bleed {
			t.Errorf("%s: the first lane's outer bleed is %v", c.id, left.Trim.Min.Across-left.Clip.Min.Across)
		}
		if right := l.Station[5]; right.Clip.Max.Across-right.Trim.Max.Across != bleed {
			t.Errorf("%s: the last lane's outer bleed is %v", c.id, right.Clip.Max.Across-right.Trim.Max.Across)
		}
		// TV-G16: slit in the middle of the gap, each liner keeps half of it.
		if first, second := l.Station[0].Trim, l.Station[1].Trim; c.id == "TV-G17" &&
			(first.Max.Across+second.Min.Across)/2-first.Max.Across != mustLength(t, "1.5875mm") {
			t.Errorf("TV-G16: the liner margin between %v and %v is not 1.5875 mm", first, second)
		}
	}
}

func TestOneLaneKeepsItsBleed(t *testing.T) {
	r := worked(t)
	r.Lanes, r.Gap.Across, r.Bleed = 1, 0, mustLength(t, "1.5mm")
	l := mustPlan(t, r)
	if room, clipped := l.BleedClipped(); room.Across != r.Bleed || clipped {
		t.Errorf("a lane alone has room for %v, clipped %v", room, clipped)
	}
}

func TestFrameStartsAtHalfAGap(t *testing.T) {
	l := mustPlan(t, worked(t))
	first, last := l.Station[0], l.Station[l.Labels()-1]
	if half := mustLength(t, "1.5875mm"); first.Trim.Min.Around != half || l.Repeat-last.Trim.Max.Around != half {
		t.Errorf("the frame starts with %v and ends with %v", first.Trim.Min.Around, l.Repeat-last.Trim.Max.Around)
	}
	if first.Lane != 1 || first.Row != 1 || last.Lane != 6 || last.Row != 12 {
		t.Errorf("first is lane %d row %d, last lane %d row %d", first.Lane, first.Row, last.Lane, last.Row)
	}
	// (340 - 315) / 2 on each side.
	if left := mustLength(t, "12.5mm"); l.Block.Min.Across != left || l.Web.Width-l.Block.Max.Across != left {
		t.Errorf("the block is %v", l.Block)
	}
}
