package geometry

import "testing"

func TestTurns(t *testing.T) {
	for degrees, want := range map[int]Turn{0: Turn0, 90: Turn90, 180: Turn180, 270: Turn270, 360: Turn0, -90: Turn270, -450: Turn270, 810: Turn90} {
		got, err := TurnOf(degrees)
		if err != nil || got != want {
			t.Errorf("%d degrees: got %v, %v; want %v", degrees, got, err, want)
		}
		if back := (degrees%360 + 360) % 360; got.Degrees() != back {
			t.Errorf("%d degrees come back as %d, want %d", degrees, got.Degrees(), back)
		}
	}
	if _, err := TurnOf(45); err == nil {
		t.Error("45 degrees pass for a quarter turn")
	}
	for a := Turn0; a <= Turn270; a++ {
		for b := Turn0; b <= Turn270; b++ {
			if got, want := a.Plus(b).Degrees(), (a.Degrees()+b.Degrees())%360; got != want {
				t.Errorf("%v and %v make %d, want %d", a, b, got, want)
			}
			if a.Plus(b).Swaps() != (a.Swaps() != b.Swaps()) {
				t.Errorf("%v and %v swap wrongly", a, b)
			}
		}
	}
}
