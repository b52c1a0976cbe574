package plan

import (
	"cmp"
	"slices"

	"quoin/geometry"
	"quoin/impose/night/intake"
)

// Lanes that are as wide as their orders' labels share out the band: no tool
// fixes the width of a lane, only the rows are common to all. The slitter is set
// up lane by lane, which is work at the finishing line, so it is done on request.

// widthsDiffer reports whether the group's orders have labels of different widths.
func widthsDiffer(g *group) bool {
	return slices.ContainsFunc(g.orders, func(o *intake.Order) bool { return o.Forme.Layout.Label.Across != g.forme().Layout.Label.Across })
}

// widthsWouldShare reports whether orders stand in several groups only because
// their labels differ in width.
func (p *Plan) widthsWouldShare() bool {
	r := *p.rules
	if r.Widths = true; r.Mixed || r.House.Lanes > 0 {
		return false
	}
	first := map[bed]geometry.Length{}
	for _, g := range p.groups {
		b := g.bed(&r)
		if g.alone() {
			continue
		}
		wide := g.forme().Layout.Label.Across
		if other := first[b]; other > 0 && other != wide {
			return true
		}
		first[b] = wide
	}
	return false
}

// bandShares returns the capacity of a run, and what a lane of each order takes of it.
func bandShares(g *group) (capacity int64, widths []int64) {
	across := make([]geometry.Length, len(g.orders))
	for i, o := range g.orders {
		across[i] = o.Forme.Layout.Label.Across
	}
	l := g.forme().Layout
	return geometry.LaneShare(l.Web, l.Gap.Across, l.Bleed, g.shift, across)
}

// bandLeast returns frames that no plan of a group of several widths undercuts: all
// its labels side by side in one run, as if lanes could be parted.
func bandLeast(g *group) int64 {
	capacity, widths := bandShares(g)
	sum := 0.0
	for i, o := range g.orders {
		sum += float64(o.Quantity-o.Printed) * float64(widths[i])
	}
	return int64(sum / (float64(capacity) * float64(g.forme().Layout.Around)))
}

// bandLeft returns what a run leaves of the band, in mm.
func bandLeft(g *group, run *Run) float64 {
	l := g.forme().Layout
	left := geometry.LaneRoom(l.Web, l.Gap.Across, l.Bleed, g.shift)
	for _, s := range run.Orders {
		left -= geometry.Length(s.Lanes) * (s.order.Forme.Layout.Label.Across + l.Gap.Across)
	}
	return left.MM()
}

// labelSizes returns the sizes of the group's labels, each once, the narrowest lane
// first; and the forme with the widest lane.
func labelSizes(g *group) (sizes [][2]float64, widest *intake.Forme) {
	var formes []*intake.Forme
	for _, o := range g.orders {
		if !slices.ContainsFunc(formes, func(f *intake.Forme) bool { return f.Layout.Label.Across == o.Forme.Layout.Label.Across }) {
			formes = append(formes, o.Forme)
		}
	}
	slices.SortStableFunc(formes, func(a, b *intake.Forme) int { return cmp.Compare(a.Layout.Label.Across, b.Layout.Label.Across) })
	for _, f := range formes {
		sizes = append(sizes, f.SizeMM())
	}
	return sizes, formes[len(formes)-1]
}

// LabelsMM returns the sizes of a run's labels, each once; none where the group
// has but one.
func (r *Run) LabelsMM() [][2]float64 {
	var sizes [][2]float64
	for _, s := range r.Orders {
		if s.LabelMM != nil && !slices.Contains(sizes, *s.LabelMM) {
			sizes = append(sizes, *s.LabelMM)
		}
	}
	return sizes
}
