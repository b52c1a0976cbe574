package geometry

import (
	"reflect"
	"testing"
)

func TestShifts(t *testing.T) {
	l := &Layout{Repeat: 100 * Millimetre}
	at := func(around Length) Station {
		trim := BoxAt(Position{10 * Millimetre, around}, Size{20 * Millimetre, 30 * Millimetre})
		return Station{Trim: trim, Clip: trim.Outset(Millimetre)}
	}
	for _, c := range []struct {
		around Length
		want   []Length
	}{
		{10 * Millimetre, nil},
		{Millimetre, nil}, // the clip touches the leading end
		{0, []Length{100 * Millimetre}},
		{-5 * Millimetre, []Length{100 * Millimetre}},
		{69 * Millimetre, nil},
		{80 * Millimetre, []Length{-100 * Millimetre}},
	} {
		if got := l.Shifts(at(c.around)); !reflect.DeepEqual(got, c.want) {
			t.Errorf("at %v: %v, want %v", c.around, got, c.want)
		}
	}
	if got := at(0).Room(); got != Millimetre {
		t.Errorf("room is %v, want 1 mm", got)
	}
}

// TestStraightLayoutsHaveNoShifts: rows start at half a gap, so no clip passes
// the seam.
func TestStraightLayoutsHaveNoShifts(t *testing.T) {
	mm := Millimetre
	l, err := Plan(Request{
		Web: Web{Width: 330 * mm}, Label: Size{50 * mm, 75 * mm}, Gap: Size{3 * mm, 3 * mm},
		Bleed: 2 * mm, Repeat: FixedRepeat(304_801 * Micrometre),
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range l.Station {
		if got := l.Shifts(s); got != nil {
			t.Errorf("row %d: %v", s.Row, got)
		}
	}
}
