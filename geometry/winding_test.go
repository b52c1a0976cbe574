package geometry

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
)

var allLeading = []Leading{TopLeads, BottomLeads, LeftLeads, RightLeads}

// TV-U1 to U4. The readings of the charts are published: top-first by
// blog.lightninglabels.com (2006) and amlabels-manufacturing.co.uk/label-roll.html,
// bottom-first by wctlabel.com/unwind-directions. The turns are plain geometry.
func TestWindingTurns(t *testing.T) {
	inline, rewound := Route{Windings: 1}, Route{Windings: 2}
	for _, c := range []struct {
		id      string
		text    string
		winding Winding
		route   Route
		turn    Turn
		a, b    int // numbers on the charts
	}{
		{"TV-U1", "face out, right leads", Winding{FaceOut, RightLeads}, inline, Turn270, 3, 4},
		{"TV-U2", "face in, right leads", Winding{FaceIn, RightLeads}, rewound, Turn90, 7, 8},
		{"TV-U3", "bottom-first 1", Winding{FaceOut, BottomLeads}, inline, Turn0, 2, 1},
		{"TV-U4", "top-first 1", Winding{FaceOut, TopLeads}, inline, Turn180, 1, 2},
	} {
		w, err := ParseWinding(c.text)
		if err != nil || w != c.winding {
			t.Errorf("%s: %q reads as %v, %v", c.id, c.text, w, err)
		}
		if turn, err := w.Turn(c.route); err != nil || turn != c.turn {
			t.Errorf("%s: got a turn of %v, %v; want %v", c.id, turn, err, c.turn)
		}
		if a, b := TopFirst.Number(w), BottomFirst.Number(w); a != c.a || b != c.b {
			t.Errorf("%s: numbers %d and %d, want %d and %d", c.id, a, b, c.a, c.b)
		}
	}
}

// The turn follows from where the label's edge points: wind the web in mind,
// and look which edge lies at the end that comes off.
func TestTurnsPointTheRightEdge(t *testing.T) {
	points := map[Leading][2]int{TopLeads: {0, 1}, BottomLeads: {0, -1}, LeftLeads: {-1, 0}, RightLeads: {1, 0}}
	for windings := 1; windings <= 5; windings++ {
		for _, secondSurface := range []bool{false, true} {
			for _, leading := range allLeading {
				route := Route{windings, secondSurface}
				turn, err := Winding{FaceIn, leading}.Turn(route)
				if err != nil {
					t.Fatal(err)
				}
				x, y := points[leading][0], points[leading][1]
				if secondSurface {
					x = -x // mirrored first,
				}
				for range turn.Degrees() / 90 { // then turned counter-clockwise
					x, y = -y, x
				}
				// The printed end trails on the press. Every unwinding begins with
				// the end wound last, so each rewind swaps the ends.
				leadsTowardsTravel := false
				for n := 1; n < windings; n++ {
					leadsTowardsTravel = !leadsTowardsTravel
				}
				if want := map[bool]int{true: 1, false: -1}[leadsTowardsTravel]; x != 0 || y != want {
					t.Errorf("%v, %+v: at %v degrees the edge points to %d,%d", leading, route, turn, x, y)
				}
				if out, _ := (Winding{FaceOut, leading}).Turn(route); out != turn {
					t.Errorf("%v: the face changes the turn", leading)
				}
			}
		}
	}
}

// TV-U6: of 6 lanes wound twice, lane 2 is lane 5 at the finishing line. Plain
// geometry.
func TestFinishingLanes(t *testing.T) {
	for lane := 1; lane <= 6; lane++ {
		is(t, "inline", Route{Windings: 1}.FinishingLane(lane, 6), lane)
		is(t, "rewound", Route{Windings: 2}.FinishingLane(lane, 6), 7-lane)
		is(t, "three windings", Route{Windings: 3}.FinishingLane(lane, 6), lane)
	}
	is(t, "TV-U6", Route{Windings: 2}.FinishingLane(2, 6), 5)
	is(t, "inline", Route{Windings: 1}.LastPrintedFirst(), true)
	is(t, "rewound", Route{Windings: 2}.LastPrintedFirst(), false)
}

// TV-U5: a number without its chart is refused, and the way out says what it
// could mean.
func TestNumberNeedsItsChart(t *testing.T) {
	for number := 1; number <= 8; number++ {
		a, _ := TopFirst.Winding(number)
		b, _ := BottomFirst.Winding(number)
		if a.Leading == b.Leading || a.Face != b.Face {
			t.Errorf("%d: the charts are known to agree on the face and on nothing else, got %v and %v", number, a, b)
		}
		for _, form := range []string{"%d", "#%d", " %d "} {
			text := fmt.Sprintf(form, number)
			_, err := ParseWinding(text)
			var e *NotationError
			if !errors.As(err, &e) || e.Why != "is a number without its chart" ||
				!strings.Contains(e.Hint(), a.String()) || !strings.Contains(e.Hint(), b.String()) {
				t.Errorf("%q: got %v, hint %q", text, err, e.Hint())
			}
		}
	}
}

func TestParseWinding(t *testing.T) {
	want := Winding{FaceIn, LeftLeads}
	for _, text := range []string{"face in, left leads", "in left", "Left leads, face IN", "left edge leads, face in", "top-first 8", "bottom-first #7", "7 bottom-first"} {
		if w, err := ParseWinding(text); err != nil || w != want {
			t.Errorf("%q: got %v, %v", text, w, err)
		}
	}
	if w, err := ParseWinding("out, foot leads"); err != nil || w != (Winding{FaceOut, BottomLeads}) {
		t.Errorf("foot: got %v, %v", w, err)
	}
	for _, text := range []string{"", "out", "top", "face leads", "out in top", "out top left", "top-first", "top-first 0", "top-first 9", "-3", "9", "0", "out top 3",
		"top-first bottom-first 1", "top-first 1 2", "chart-a 3", "outwards top"} {
		w, err := ParseWinding(text)
		if e, ok := err.(*NotationError); !ok || e.Text != text || e.Hint() == "" {
			t.Errorf("%q: got %v, %v; want a NotationError with a hint", text, w, err)
		}
	}
}

func TestWindingRoundTrip(t *testing.T) {
	for _, face := range []Face{FaceOut, FaceIn} {
		for _, leading := range allLeading {
			w := Winding{face, leading}
			text, err := w.MarshalText()
			if err != nil {
				t.Fatal(err)
			}
			var back Winding
			if err := back.UnmarshalText(text); err != nil || back != w {
				t.Errorf("%v came back from %q as %v, %v", w, text, back, err)
			}
			for _, chart := range []Chart{TopFirst, BottomFirst} {
				text := fmt.Sprintf("%s %d", chart, chart.Number(w))
				if back, err := ParseWinding(text); err != nil || back != w {
					t.Errorf("%v came back from %q as %v, %v", w, text, back, err)
				}
			}
		}
	}
	is(t, "words", Winding{FaceIn, TopLeads}.Words(), "The print is on the inside of the roll; the label's top edge comes off first.")
	is(t, "words", Winding{FaceOut, RightLeads}.Words(), "The print is on the outside of the roll; the label's right edge comes off first.")
}

func TestWindingUnsaid(t *testing.T) {
	for _, w := range []Winding{{}, {FaceOut, 0}, {0, TopLeads}, {3, TopLeads}, {FaceOut, 5}} {
		if _, err := w.Turn(Route{Windings: 1}); err == nil {
			t.Errorf("%v has a turn", w)
		}
		if _, err := w.MarshalText(); err == nil {
			t.Errorf("%v has a text", w)
		}
		is(t, "number", TopFirst.Number(w), 0)
	}
	if _, err := (Winding{FaceOut, TopLeads}).Turn(Route{}); err == nil {
		t.Error("no winding gives a turn")
	}
	if _, err := Chart(0).Winding(1); err == nil {
		t.Error("no chart gives a winding")
	}
	if _, err := Chart(math.MaxUint8).Winding(1); err == nil {
		t.Error("an unknown chart gives a winding")
	}
}

// Number returns the winding's number on the chart, 0 when either says nothing.
func (c Chart) Number(w Winding) int {
	for n := 1; n <= 8; n++ {
		if v, err := c.Winding(n); err == nil && v == w {
			return n
		}
	}
	return 0
}
