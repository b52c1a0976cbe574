package nest

import (
	"cmp"
	"math"
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// rows says where the rows of a frame begin around, counted from the first.
type rows struct {
	repeat geometry.Length
	at     []geometry.Length // the second row's members at odd places, if there are two rows
}

// rows gives the ways to spread a settled pattern over the frame, the evenest
// first: the layout's own measure decides which of them keeps the gap.
func (fr *frame) rows(f *family, p placed, seam Seam) []rows {
	if seam == Apart {
		return fr.rowsApart(f, p)
	}
	k := geometry.Length(fr.running(float64(p.period)))
	if k == 0 || k*p.period > fr.limit() {
		return nil
	}
	repeat := k * p.period
	if fr.repeat.Fixed > 0 {
		repeat = fr.repeat.Fixed
	}
	// What the repeat is longer than its rows need opens both gaps alike, or
	// failing that the one before the next first row only.
	var out []rows
	for _, share := range [...]geometry.Length{(repeat/k - p.period) / 2, 0} {
		r := rows{repeat: repeat}
		for i := range k {
			y := i * repeat / k // never by adding up a rounded period
			r.at = append(r.at, y)
			if f.rows == 2 {
				r.at = append(r.at, y+p.step+share)
			}
		}
		out = append(out, r)
	}
	return out
}

// rowsApart keeps all rows between the ends of the frame.
func (fr *frame) rowsApart(f *family, p placed) []rows {
	n := fr.apart(f.rows, float64(p.step), float64(p.period))
	if n == 0 {
		return nil
	}
	at := make([]geometry.Length, n)
	for i := range at {
		at[i] = geometry.Length(offset(i, f.rows, float64(p.step), float64(p.period)))
	}
	need := at[n-1] + fr.height + fr.gap
	if need > fr.limit() {
		return nil
	}
	if fr.repeat.Fixed == 0 || n == 1 {
		return []rows{{max(need, fr.repeat.Fixed), at}}
	}
	spread := slices.Clone(at)
	for i := range spread {
		spread[i] += (fr.repeat.Fixed - need) * geometry.Length(i) / geometry.Length(n-1)
	}
	return []rows{{fr.repeat.Fixed, spread}, {fr.repeat.Fixed, at}}
}

// lay makes the layout of a settled pattern, nil where the finished frame does
// not keep the gap everywhere.
func (p *planner) lay(f *family, s placed, rs rows) *Arrangement {
	width := geometry.Length(s.n[0]-1)*s.pitch + f.size.Across
	if f.rows == 2 {
		width = max(width, s.stagger+geometry.Length(s.n[1]-1)*s.pitch+f.size.Across)
	}
	left := (p.r.Web.Width - width) / 2
	for i := range rs.at {
		rs.at[i] %= rs.repeat // a second row may begin with the next frame's first
	}
	lo, hi := slices.Min(rs.at), slices.Max(rs.at)
	start := (rs.repeat-(hi-lo+f.size.Around))/2 - lo
	var stations []geometry.Station
	for i, y := range rs.at {
		second := i % f.rows
		x := left
		if second == 1 {
			x += s.stagger
		}
		for k := range s.n[second] {
			at := geometry.Position{Across: x + geometry.Length(k)*s.pitch, Around: start + y}
			stations = append(stations, geometry.Station{Turn: f.turns[second], Trim: geometry.BoxAt(at, f.size)})
		}
	}
	a := &Arrangement{Pattern: f.pattern, Pitch: s.pitch, Stagger: s.stagger, PerRow: s.n}
	if f.rows == 1 {
		a.PerRow[1] = s.n[0]
	}
	a.Layout = &geometry.Layout{Web: p.r.Web, Label: f.size, Area: p.shape.Area(), Turn: f.turns[0], Repeat: rs.repeat, Station: stations}
	number(a.Layout)
	kept := true
	p.neighbours(a.Layout, p.r.Gap, func(g, h *outline.Gauge, by geometry.Size) bool {
		kept = g.Keeps(h, by, p.r.Gap)
		return kept
	})
	if !kept {
		return nil
	}
	return a
}

// straight takes over the grid.
func (p *planner) straight(l *geometry.Layout) *Arrangement {
	a := &Arrangement{Pattern: Straight, Pitch: l.Label.Across + l.Gap.Across, PerRow: [2]int{l.Across, l.Across}, Layout: l}
	number(l)
	p.finish(a)
	return a
}

// finish measures the clearance, cuts the clips to it and says what the slitter
// can do.
func (p *planner) finish(a *Arrangement) {
	l := a.Layout
	l.Bleed, l.Shaped = p.r.Bleed, true
	// No farther than the label's longer side beyond the gap: what is so far off
	// is no neighbour.
	far := p.r.Gap + max(l.Label.Across, l.Label.Around)
	least := float64(far)
	p.neighbours(l, far, func(g, h *outline.Gauge, by geometry.Size) bool {
		least = g.Separation(h, by, least)
		return true
	})
	a.Clearance = geometry.Length(math.Floor(max(least, 0) + outline.Slack))
	l.Gap = geometry.Size{Across: a.Clearance, Around: a.Clearance}
	room := min(p.r.Bleed, a.Clearance/2)
	l.Block = geometry.Box{}
	for i := range l.Station {
		l.Station[i].Clip = l.Station[i].Trim.Outset(room)
		l.Block = l.Block.Union(l.Station[i].Trim)
	}
	a.Slitting = slitting(l)
}

// number counts lanes and rows, each place across or around being one, and puts
// the stations in their order.
func number(l *geometry.Layout) {
	l.Across = count(l.Station, func(s *geometry.Station) (geometry.Length, *int) { return s.Trim.Min.Across, &s.Lane })
	l.Around = count(l.Station, func(s *geometry.Station) (geometry.Length, *int) { return s.Trim.Min.Around, &s.Row })
	slices.SortFunc(l.Station, func(s, t geometry.Station) int {
		return cmp.Or(cmp.Compare(s.Row, t.Row), cmp.Compare(s.Lane, t.Lane))
	})
	l.Turn = l.Station[0].Turn
}

// count numbers the different places along one axis, from 1 on.
func count(stations []geometry.Station, axis func(*geometry.Station) (geometry.Length, *int)) int {
	var places []geometry.Length
	for i := range stations {
		at, _ := axis(&stations[i])
		places = append(places, at)
	}
	slices.Sort(places)
	places = slices.Compact(places)
	for i := range stations {
		at, n := axis(&stations[i])
		k, _ := slices.BinarySearch(places, at)
		*n = k + 1
	}
	return len(places)
}

// neighbours calls f with all pairs of labels whose boxes come nearer than the
// reach, on the frame and across its seam, until f says no. Equal moves between
// equal turns are named once, so a frame of any size has a few dozen.
func (p *planner) neighbours(l *geometry.Layout, reach geometry.Length, f func(g, h *outline.Gauge, by geometry.Size) bool) {
	type pair struct {
		by   geometry.Size
		a, b geometry.Turn
	}
	seen := map[pair]bool{}
	n := len(l.Station)
	for i, s := range l.Station {
		for j := i + 1; ; j++ {
			t := l.Station[j%n] // of the next frame, once j has passed the last
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
			if !f(p.gauge(s.Turn), p.gauge(t.Turn), by) {
				return
			}
		}
	}
}

// gauge gives the label turned, its box at the origin.
func (p *planner) gauge(t geometry.Turn) *outline.Gauge {
	if p.gauges[t] == nil {
		p.gauges[t] = outline.NewGauge(p.shape.Turned(t).At(geometry.Position{}))
	}
	return p.gauges[t]
}
