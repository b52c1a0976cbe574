package plate

import (
	"math"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/artwork"
)

// cut is where a label is cut, and what stands there.
type cut struct {
	set *Set
	sums
	rings [][][2]float64 // closed polygons in the page's space, the label's edge first
	// extents are the boxes of the rings.
	extents []artwork.Rect
	mm      float64 // units of the page's space in a millimetre
	by      string  // "the cut", "the die line" or "the trim"
}

// flat is how far a die line's polygons may lie from it.
const flat = 5 * geometry.Micrometre

// newCut takes what is said for the cut, or else the artwork's own die line or,
// where it draws none that is clear, the trim.
func newCut(s *Set, all sums, said outline.Outline) *cut {
	c := &cut{set: s, sums: all, mm: 72 / 25.4 / s.Page.UserUnit, by: "the trim"}
	size := s.Page.Size()
	rings := [][]geometry.Position{{{}, {Across: size.Across}, geometry.Position(size), {Around: size.Around}}}
	if !said.Empty() {
		rings, c.by = ringsOf(said), "the cut"
	} else if line, err := s.Page.DieLine(); err == nil {
		rings, c.by = ringsOf(line.Outline), "the die line"
	}
	for _, ring := range rings {
		on := onPage(s.Page, [][]geometry.Position{ring})
		c.rings, c.extents = append(c.rings, on.polygons...), append(c.extents, on.box)
	}
	return c
}

// ringsOf returns a die line's polygons, that of the largest box first: the edge.
func ringsOf(o outline.Outline) [][]geometry.Position {
	rings := o.Flatten(flat)
	extent := func(ring []geometry.Position) geometry.Length {
		b := geometry.Box{Min: ring[0], Max: ring[0]}
		for _, p := range ring {
			b.Min.Across, b.Min.Around = min(b.Min.Across, p.Across), min(b.Min.Around, p.Around)
			b.Max.Across, b.Max.Around = max(b.Max.Across, p.Across), max(b.Max.Around, p.Around)
		}
		return b.Size().Across + b.Size().Around
	}
	for i := range rings {
		if extent(rings[i]) > extent(rings[0]) {
			rings[0], rings[i] = rings[i], rings[0]
		}
	}
	return rings
}

// at returns a sum of inks at a place of the page; false beyond the grid.
func (c *cut) at(sum []uint16, x, y float64) (uint16, bool) {
	g := c.set.Grid
	scale := g.DPI * c.set.Page.UserUnit / 72
	px, py := int(math.Floor((x-g.Box[0])*scale)), int(math.Floor((g.Box[3]-y)*scale))
	if px < 0 || py < 0 || px >= g.Width || py >= g.Height {
		return 0, false
	}
	return sum[py*g.Width+px], true
}

// spread returns the least and the largest mix of inks within a box of the page.
func (c *cut) spread(r artwork.Rect) (least, most uint16) {
	in := c.set.Grid.pixels(c.set.Page, r)
	least = math.MaxUint16
	for y := in.Min.Y; y < in.Max.Y; y++ {
		for _, v := range c.mixed[y*c.set.Grid.Width+in.Min.X : y*c.set.Grid.Width+in.Max.X] {
			least, most = min(least, v), max(most, v)
		}
	}
	return min(least, most), most
}
