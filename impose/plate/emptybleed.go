package plate

import (
	"fmt"
	"math"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/say"
)

// What is looked at along the cut, in millimetres and sums of inks.
const (
	reaches   = 255 * 5 / 100 // from this tint on, ink counts as reaching the cut
	bare      = 255 * 1 / 100 // up to this one, the bleed counts as empty
	leastRoom = 0.3           // less room is no bleed
	fineness  = 0.15          // of what is told: two pixels at 300 to the inch
	usual     = 1.0           // bleed that is looked for where the job wants none: common practice, no source
	leastGap  = 1.0           // shorter stretches may be dirt in a picture
)

// inward are the depths at which ink must stand to count as reaching the cut: a
// thin line along it doesn't.
var inward = [...]float64{.15, .25, .35}

// side is one side of the label, with what was found along it.
type side struct {
	along, empty float64 // mm
	reach, room  float64 // mm: the least ink and the least room in the empty part
}

var sideNames = [...]string{"left", "right", "top", "bottom"}

// emptyBleed tells of the sides on which ink reaches the cut and ends there or
// soon after, though the page has room.
func (c *cut) emptyBleed(report *artwork.CoverageReport) {
	sides := [len(sideNames)]side{}
	for i := range sides {
		sides[i].reach, sides[i].room = math.Inf(1), math.Inf(1)
	}
	want := c.set.Page.WantedBleed().MM()
	if want == 0 {
		want = usual
	}
	ring := c.rings[0]
	turn := 1.0 // makes the normal point outwards
	if signedArea(ring) < 0 {
		turn = -1
	}
	step := 72 / c.set.Grid.DPI / c.set.Page.UserUnit
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		dx, dy := b[0]-a[0], b[1]-a[1]
		length := math.Hypot(dx, dy)
		if length == 0 {
			continue
		}
		n := max(1, int(length/step+.5))
		out := [2]float64{turn * dy / length, -turn * dx / length}
		on := &sides[c.side(out)]
		for k := range n {
			t := (float64(k) + .5) / float64(n)
			on.along += length / float64(n) / c.mm
			reach, room, empty := c.bleedAt([2]float64{a[0] + dx*t, a[1] + dy*t}, out, want)
			if empty {
				on.empty += length / float64(n) / c.mm
				on.reach, on.room = min(on.reach, reach), min(on.room, room)
			}
		}
	}
	for i, s := range sides {
		if s.empty < leastGap {
			continue
		}
		ends := "ends there"
		if s.reach > fineness {
			ends = fmt.Sprintf("ends %s mm beyond it", say.Fixed(s.reach, 1))
		}
		report.Find(artwork.BleedEmpty, "the bleed is empty on the %s: along %s of %s mm, ink that reaches %s %s, though the page has room for %s mm; cut a little off, it shows bare material",
			sideNames[i], say.Fixed(s.empty, 1), say.Fixed(s.along, 1), c.by, ends, say.Fixed(s.room, 1))
	}
}

// bleedAt looks at one place of the cut: how far ink goes on beyond it, how far
// it could, and whether that is nothing though ink reaches the cut. want is the
// bleed in mm that is needed.
func (c *cut) bleedAt(p, out [2]float64, want float64) (reach, room float64, empty bool) {
	sum := func(mm float64) (uint16, bool) { return c.at(c.total, p[0]+out[0]*mm*c.mm, p[1]+out[1]*mm*c.mm) }
	for _, depth := range inward {
		if v, ok := sum(-depth); !ok || v < reaches {
			return 0, 0, false
		}
	}
	step := 25.4 / c.set.Grid.DPI
	box := c.set.Page.Boxes.Bleed
	for room = step; c.inBox(box, p, out, room); room += step {
		if v, ok := sum(room); ok && v > bare && room <= want {
			reach = room
		}
	}
	room -= step
	needed := min(want, room)
	return reach, room, needed >= leastRoom && reach < needed-2*fineness
}

func (c *cut) inBox(box artwork.Rect, p, out [2]float64, mm float64) bool {
	x, y := p[0]+out[0]*mm*c.mm, p[1]+out[1]*mm*c.mm
	return x >= box[0] && y >= box[1] && x <= box[2] && y <= box[3] && mm <= farthestBleed
}

// farthestBleed is as far as bleed is looked for, in mm.
const farthestBleed = 5.0

// side returns the side that a direction on the page points to, upright.
func (c *cut) side(out [2]float64) int {
	m := c.set.Page.FormMatrix()
	x, y := m[0]*out[0]+m[2]*out[1], m[1]*out[0]+m[3]*out[1]
	switch {
	case math.Abs(x) < math.Abs(y) && y > 0:
		return 2
	case math.Abs(x) < math.Abs(y):
		return 3
	case x > 0:
		return 1
	}
	return 0
}

// signedArea is positive where a polygon runs counter-clockwise.
func signedArea(ring [][2]float64) (sum float64) {
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		sum += a[0]*b[1] - b[0]*a[1]
	}
	return sum / 2
}

// DefaultFromCut is the least distance of text, bars and lines from the cut where
// the press file states none: common practice, no source.
const DefaultFromCut = 1 * geometry.Millimetre
