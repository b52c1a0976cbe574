package nest

import (
	"cmp"
	"math"
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// finish measures the clearance, cuts the clips to it and says what seam and
// slitter make of the layout.
func (p *planner) finish(a *Arrangement) {
	l := a.Layout
	l.Bleed, l.Shaped = p.r.Bleed, true
	// No farther than the label's longer side beyond the gap: what is so far off
	// is no neighbour.
	far := max(p.r.Gap.Across, p.r.Gap.Around) + max(l.Label.Across, l.Label.Around)
	least := float64(far)
	p.neighbours(l, far, func(s, t geometry.Turn, by geometry.Size) bool {
		least = p.keeper.gauge(s).Separation(p.keeper.gauge(t), by, least)
		return true
	})
	a.Clearance = geometry.Length(math.Floor(max(least, 0) + outline.Slack))
	l.Gap = geometry.Size{Across: a.Clearance, Around: a.Clearance}
	room := min(p.r.Bleed, a.Clearance/2)
	l.Block = geometry.Box{}
	for i := range l.Station {
		s := &l.Station[i]
		s.Clip = s.Trim.Outset(room)
		l.Block = l.Block.Union(s.Trim)
		if s.Trim.Min.Around < 0 || s.Trim.Max.Around > l.Repeat {
			a.Crossing++
		}
	}
	a.Slitting = slitting(l)
}

// neighbours calls f with all pairs of labels whose boxes come nearer than the
// reach, on the frame and across its seam, until f says no. Equal moves between
// equal turns are named once, so a frame of any size has a few dozen.
func (p *planner) neighbours(l *geometry.Layout, reach geometry.Length, f func(a, b geometry.Turn, by geometry.Size) bool) {
	type pair struct {
		by   geometry.Size
		a, b geometry.Turn
	}
	seen := map[pair]bool{}
	byPlace := slices.SortedFunc(slices.Values(l.Station), func(s, t geometry.Station) int {
		return cmp.Or(cmp.Compare(s.Trim.Min.Around, t.Trim.Min.Around), cmp.Compare(s.Trim.Min.Across, t.Trim.Min.Across))
	})
	n := len(byPlace)
	for i, s := range byPlace {
		for j := i + 1; ; j++ {
			t := byPlace[j%n] // of the next frame, once j has passed the last
			by := geometry.Size{
				Across: t.Trim.Min.Across - s.Trim.Min.Across,
				Around: t.Trim.Min.Around - s.Trim.Min.Around + geometry.Length(j/n)*l.Repeat,
			}
			if by.Around-l.Label.Around > reach {
				break
			}
			key := pair{by, s.Turn, t.Turn}
			if max(by.Across, -by.Across)-l.Label.Across > reach || seen[key] {
				continue
			}
			seen[key] = true
			if !f(s.Turn, t.Turn, by) {
				return
			}
		}
	}
}
