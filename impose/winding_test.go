package impose

import (
	"testing"

	"quoin/geometry"
)

// TestWindingDecidesTheTurn: with the press's own rewind the edge against the
// travel leads, behind a finishing line the one towards it; of six lanes the
// second becomes the fifth. Plain geometry.
func TestWindingDecidesTheTurn(t *testing.T) {
	for _, c := range []struct {
		words    string
		windings int
		turn     int
		second   int // lane 2 at finishing
	}{
		{"face out, top leads", 1, 180, 2}, {"face out, top leads", 2, 0, 5}, {"face in, top leads", 1, 180, 2},
		{"bottom-first 1", 1, 0, 2}, {"top-first 1", 1, 180, 2},
	} {
		j := w1(t, 2)
		j.Turns = nil
		w, err := geometry.ParseWinding(c.words)
		if err != nil {
			t.Fatal(err)
		}
		j.Winding, j.Windings = &w, c.windings
		s := summaryOf(t, j)
		if s.Winding.TurnDeg != c.turn || s.Stations[0].TurnDeg != c.turn || s.Lanes[1].FinishingLane != c.second {
			t.Errorf("%s, %d windings: %+v, lane 2 is %d", c.words, c.windings, s.Winding, s.Lanes[1].FinishingLane)
		}
		if s.Winding.LastPrintedFirst != (c.windings == 1) || s.Winding.Words == "" || s.Winding.Face != w.Face.String()[5:] {
			t.Errorf("%+v", s.Winding)
		}
	}
	j := w1(t, 2)
	j.Press = nil // whose finishing line would say how often the web is wound
	if s := summaryOf(t, j); s.Winding != nil || s.Lanes[0].FinishingLane != 0 {
		t.Errorf("a winding that nobody said: %+v", s.Winding)
	}
}
