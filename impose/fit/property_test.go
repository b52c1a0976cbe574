package fit

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"quoin/geometry"
)

// TestStraightIsThePlan: without a die, what fits and how many is what the
// layout of the job would be, at the better turn and at each.
func TestStraightIsThePlan(t *testing.T) {
	length := func(least, most int) *rapid.Generator[geometry.Length] {
		return rapid.Custom(func(t *rapid.T) geometry.Length {
			return geometry.Length(rapid.IntRange(least*8, most*8).Draw(t, "eighths")) * mm / 8
		})
	}
	rapid.Check(t, func(t *rapid.T) {
		w := wish(size(length(5, 200).Draw(t, "across"), length(5, 200).Draw(t, "around")), length(50, 340).Draw(t, "web"))
		w.Gap = size(length(0, 5).Draw(t, "gap"), length(0, 5).Draw(t, "gap around"))
		w.Bleed = length(0, 3).Draw(t, "bleed")
		w.Webs[0].Edge = length(0, 12).Draw(t, "edge")
		w.Turns = []geometry.Turn{geometry.Turn0, geometry.Turn90}
		if rapid.Bool().Draw(t, "fixed") {
			w.Repeat = geometry.FixedRepeat(length(20, 1000).Draw(t, "repeat"))
		}
		w.Quantity = rapid.Int64Range(0, 1_000_000).Draw(t, "quantity")
		plan, planErr := geometry.Plan(geometry.Request{Web: w.Webs[0], Label: w.Label, Gap: w.Gap, Bleed: w.Bleed, Repeat: w.Repeat, Turns: w.Turns})
		r, err := Answer(Question{Wish: w})
		if err != nil {
			var e *geometry.NotFitError
			if !errors.As(err, &e) || planErr == nil {
				t.Fatalf("fit says %v, the plan %v", err, planErr)
			}
			return
		}
		best := r.Best()
		if (best == nil) != (planErr != nil) {
			t.Fatalf("fit has %+v, the plan says %v", best, planErr)
		}
		if best == nil {
			if len(r.Layouts[0].Reasons) == 0 || r.Err() == nil {
				t.Fatalf("nothing fits, and no reason is said: %+v", r.Layouts)
			}
			return
		}
		// Frames are whole, so that of an order the sparser layout may be the better.
		if w.Quantity == 0 {
			got, want := best.RepeatMM/float64(best.Labels), plan.Repeat.MM()/float64(plan.Labels())
			if math.Abs(got-want) > 1e-9*want {
				t.Fatalf("%v mm a label, the plan has %v", got, want)
			}
		}
		for _, l := range r.Layouts {
			if !l.Fits {
				continue
			}
			if sum := l.LabelPercent + l.MatrixPercent + l.EdgePercent + l.TailPercent; math.Abs(sum-100) > 1e-9 {
				t.Fatalf("the shares of the web add to %v", sum)
			}
			if l.WebM2 < best.WebM2*(1-1e-12) {
				t.Fatalf("the best takes %v m2, another %v", best.WebM2, l.WebM2)
			}
		}
	})
}
