package geometry

import (
	"testing"

	"pgregory.net/rapid"
)

func anyBox() *rapid.Generator[Box] {
	return rapid.Custom(func(t *rapid.T) Box {
		v := func(name string) Length { return Length(rapid.Int64Range(-20, 20).Draw(t, name)) }
		return Box{Position{v("left"), v("leading")}, Position{v("right"), v("trailing")}}
	})
}

// covers reports whether the box holds the little square of 1 nm at p: the
// definition that the methods must agree with.
func (b Box) covers(p Position) bool {
	return b.Min.Across <= p.Across && p.Across < b.Max.Across && b.Min.Around <= p.Around && p.Around < b.Max.Around
}

func TestBoxesAgreeWithTheirSquares(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyBox().Draw(t, "a"), anyBox().Draw(t, "b")
		shared, inA, inB, both := 0, 0, 0, 0
		meet, join := a.Intersect(b), a.Union(b)
		for x := Length(-21); x <= 21; x++ {
			for y := Length(-21); y <= 21; y++ {
				p := Position{x, y}
				ca, cb := a.covers(p), b.covers(p)
				if ca {
					inA++
				}
				if cb {
					inB++
				}
				if ca && cb {
					both++
				}
				if meet.covers(p) {
					shared++
				}
				if (ca || cb) && !join.covers(p) {
					t.Fatalf("the union %v of %v and %v lacks %v", join, a, b, p)
				}
			}
		}
		if shared != both || a.Overlaps(b) != (both > 0) || b.Overlaps(a) != (both > 0) {
			t.Fatalf("%v and %v share %d squares; Intersect says %d, Overlaps %v", a, b, both, shared, a.Overlaps(b))
		}
		if a.Empty() != (inA == 0) {
			t.Fatalf("%v has %d squares but Empty says %v", a, inA, a.Empty())
		}
		if !a.Empty() && !b.Empty() && a.Contains(b) != (both == inB) {
			t.Fatalf("%v holds %d of the %d squares of %v but Contains says %v", a, both, inB, b, a.Contains(b))
		}
	})
}

func TestBoxMoves(t *testing.T) {
	b := BoxAt(Position{10, 20}, Size{5, 7})
	if b != (Box{Position{10, 20}, Position{15, 27}}) || b.Size() != (Size{5, 7}) {
		t.Errorf("got %v", b)
	}
	if got := b.Outset(2); got != (Box{Position{8, 18}, Position{17, 29}}) || got.Outset(-2) != b {
		t.Errorf("outset is %v", got)
	}
	if got := b.Moved(Size{-10, 1}); got != (Box{Position{0, 21}, Position{5, 28}}) {
		t.Errorf("moved is %v", got)
	}
	if got := b.Centre(); got != (Position{12, 23}) {
		t.Errorf("centre is %v", got)
	}
	if got := (Box{}).Union(b); got != b {
		t.Errorf("nothing and %v make %v", b, got)
	}
}
