package geometry

import "testing"

func TestTurns(t *testing.T) {
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
