package geometry

import (
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TV-W1's lanes: 6 lanes of 16,668 labels are 36 full rolls of 2,500 and 6
// part rolls of 1,668; the order of 100,000 takes 40. Arithmetic.
func TestWorkedRolls(t *testing.T) {
	l := mustPlan(t, worked(t))
	run := mustRun(t, l, []Demand{{Quantity: 100_000, Places: 72}}, Terms{})
	var lanes []Piece
	for lane := 1; lane <= l.Across; lane++ {
		lanes = append(lanes, Piece{lane, run.Frames * int64(l.Around)})
	}
	apart, err := CountRolls(lanes, 2500, 0)
	if err != nil {
		t.Fatal(err)
	}
	for i, lane := range apart.Lanes {
		is(t, "lane", lane, LaneRolls{i + 1, 16_668, 6, 1668})
	}
	is(t, "full", apart.Full, 36)
	is(t, "parts", len(apart.Parts), 6)
	is(t, "needed", RollsFor(100_000, 2500), 40)

	// Joined, 10,008 labels in rests give the four rolls that were missing: pairs
	// of rests fill three and leave 2 x 1,668 - 2,500 = 836 each, which fill the
	// fourth with two splices.
	joined, err := CountRolls(lanes, 2500, 2)
	if err != nil {
		t.Fatal(err)
	}
	is(t, "rolls", joined.Rolls(), 40)
	if want := []Piece{{2, 8}}; !reflect.DeepEqual(joined.Parts, want) {
		t.Errorf("left: got %v, want %v", joined.Parts, want)
	}
	once, err := CountRolls(lanes, 2500, 1)
	if err != nil {
		t.Fatal(err)
	}
	is(t, "rolls", once.Rolls(), 39)
	is(t, "splices", once.Splices(), 3)
}

func TestRollsRefuse(t *testing.T) {
	if _, err := CountRolls([]Piece{{1, 10}}, 0, 0); err == nil {
		t.Error("rolls of nothing are counted")
	}
	if _, err := CountRolls([]Piece{{1, -10}}, 10, 0); err == nil {
		t.Error("a lane of less than nothing is counted")
	}
}

// No label is lost or made, no roll has more splices than allowed, and what is
// left could not be joined.
func TestRollsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		perRoll := rapid.Int64Range(1, 3000).Draw(t, "per roll")
		splices := rapid.IntRange(0, 4).Draw(t, "splices")
		var lanes []Piece
		have := map[int]int64{}
		for lane := range rapid.IntRange(1, 12).Draw(t, "lanes") {
			lanes = append(lanes, Piece{lane + 1, rapid.Int64Range(0, 20_000).Draw(t, "labels")})
			have[lane+1] = lanes[lane].Labels
		}
		c, err := CountRolls(lanes, perRoll, splices)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range c.Lanes {
			have[l.Lane] -= l.Full * perRoll
		}
		for _, roll := range c.Spliced {
			sum := int64(0)
			for _, p := range roll {
				sum += p.Labels
				have[p.Lane] -= p.Labels
			}
			if sum != perRoll || len(roll) > splices+1 {
				t.Fatalf("%v is not a roll of %d with %d splices", roll, perRoll, splices)
			}
		}
		var left []int64
		for _, p := range c.Parts {
			have[p.Lane] -= p.Labels
			left = append(left, p.Labels)
		}
		for lane, n := range have {
			if n != 0 {
				t.Fatalf("lane %d is %d labels out", lane, n)
			}
		}
		slices.Sort(left)
		slices.Reverse(left)
		sum := int64(0)
		for _, n := range left[:min(len(left), splices+1)] {
			sum += n
		}
		if sum >= perRoll {
			t.Fatalf("%v could still be joined to a roll of %d", left, perRoll)
		}
	})
}
