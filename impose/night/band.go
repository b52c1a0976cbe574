package night

import (
	"cmp"
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/impose/say"
)

// Lanes that are as wide as their orders' labels share out the band: no tool
// fixes the width of a lane, only the rows are common to all. The slitter is set
// up lane by lane, which is work at the finishing line, so it is done on request.

// bed says what orders must have in common to share a frame, beside material
// and inks: their forme or, where widths may differ, all of it but the width.
func (x *forme) bed(r *Rules) string {
	rectangle := r.House.Shape == "" || r.House.Shape == geometry.ShapeRectangle
	if !r.Widths || r.Mixed || x.die != "" || r.House.Lanes > 0 || !rectangle {
		return fmt.Sprintf("%p", x)
	}
	l := x.layout
	return fmt.Sprint("band ", l.Turn, l.Label.Around, l.Around, l.Gap, l.Repeat)
}

// banded reports whether the group's orders have labels of different widths.
func (g *group) banded() bool {
	return slices.ContainsFunc(g.orders, func(o *order) bool { return o.forme != g.orders[0].forme })
}

// widthsWouldShare reports whether orders stand in several groups only because
// their labels differ in width.
func (p *Plan) widthsWouldShare() bool {
	r := *p.rules
	if r.Widths = true; r.Mixed || r.House.Lanes > 0 {
		return false
	}
	first := map[bed]*forme{}
	for _, g := range p.groups {
		b := g.bed(&r)
		if g.alone() {
			continue
		}
		if other := first[b]; other != nil && other != g.forme {
			return true
		}
		first[b] = g.forme
	}
	return false
}

// openTurns counts the orders that might share a band and whose turn nothing
// decides: labels that lie differently have other lengths around.
func openTurns(orders []*order, r *Rules) int {
	open := 0
	for _, o := range orders {
		j := *r.House
		if o.Winding != nil {
			j.Winding = o.Winding
		}
		if r.Widths && !o.alone() && len(j.Request().Turns) > 1 {
			open++
		}
	}
	return open
}

// band gives the capacity of a run, and what a lane of each order takes of it.
func (g *group) band() (capacity int64, widths []int64) {
	across := make([]geometry.Length, len(g.orders))
	for i, o := range g.orders {
		across[i] = o.forme.layout.Label.Across
	}
	l := g.forme.layout
	return geometry.LaneShare(l.Web, l.Gap.Across, l.Bleed, g.shift, across)
}

// leastBand gives frames that no plan of a group of several widths undercuts: all
// its labels side by side in one run, as if lanes could be parted.
func (g *group) leastBand() int64 {
	capacity, widths := g.band()
	sum := 0.0
	for i, o := range g.orders {
		sum += float64(o.Quantity) * float64(widths[i])
	}
	return int64(sum / (float64(capacity) * float64(g.forme.layout.Around)))
}

// bandLeft gives what a run leaves of the band, in mm.
func (g *group) bandLeft(run *Run) float64 {
	l := g.forme.layout
	left := geometry.LaneRoom(l.Web, l.Gap.Across, l.Bleed, g.shift)
	for _, s := range run.Orders {
		left -= geometry.Length(s.Lanes) * (s.order.forme.layout.Label.Across + l.Gap.Across)
	}
	return left.MM()
}

// labels gives the sizes of the group's labels, each once, the narrowest lane
// first; and the forme with the widest lane.
func (g *group) labels() (sizes [][2]float64, widest *forme) {
	var formes []*forme
	for _, o := range g.orders {
		if !slices.Contains(formes, o.forme) {
			formes = append(formes, o.forme)
		}
	}
	slices.SortStableFunc(formes, func(a, b *forme) int { return cmp.Compare(a.layout.Label.Across, b.layout.Label.Across) })
	for _, f := range formes {
		sizes = append(sizes, f.size())
	}
	return sizes, formes[len(formes)-1]
}

// size gives the upright label in mm.
func (x *forme) size() [2]float64 { return [2]float64{x.label.Across.MM(), x.label.Around.MM()} }

// labels gives the sizes of a run's labels, each once; none where the group has
// but one.
func (r *Run) labels() [][2]float64 {
	var sizes [][2]float64
	for _, s := range r.Orders {
		if s.LabelMM != nil && !slices.Contains(sizes, *s.LabelMM) {
			sizes = append(sizes, *s.LabelMM)
		}
	}
	return sizes
}

// sized names a share's label, where labels differ.
func sized(s Share) string {
	if s.LabelMM == nil {
		return ""
	}
	return ", " + say.Pair(s.LabelMM[0], s.LabelMM[1])
}
