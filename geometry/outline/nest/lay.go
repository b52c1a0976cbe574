package nest

import (
	"slices"

	"quoin/geometry"
)

// course is how the members of a settled pattern are spread over a frame.
type course struct {
	repeat geometry.Length
	// at gives where the labels of a member stand around in a lane, counted from
	// lane 0 of member 0; not all within the frame.
	at func(member, lane int) []geometry.Length
	// apart says that no label may stand across the seam.
	apart bool
}

// courses gives the ways to spread a settled pattern over the frame, the evenest
// first: the layout's own measure decides which of them keeps the gap.
func (fr *frame) courses(f *family, p placed, seam Seam) []course {
	if seam == Apart {
		return fr.coursesApart(f, p)
	}
	periods := geometry.Length(fr.running(float64(p.period)))
	if periods == 0 || periods*p.period > fr.limit() {
		return nil
	}
	repeat := periods * p.period
	if fr.repeat.Fixed > 0 {
		repeat = fr.repeat.Fixed
	}
	// What the repeat is longer than its rows need is shared by all gaps alike, or
	// failing that opens the one before the next first row only.
	stretched := func(v geometry.Length) geometry.Length { return v * repeat / (periods * p.period) }
	var out []course
	for _, moves := range [...][2]geometry.Length{{stretched(p.shear), p.step + (repeat/periods-p.period)/2}, {stretched(p.shear), stretched(p.step)}, {p.shear, p.step}} {
		shear, step := moves[0], moves[1]
		out = append(out, course{repeat, func(member, lane int) []geometry.Length {
			from := geometry.Length(member)*step + geometry.Length(lane)*shear
			at := make([]geometry.Length, periods)
			for i := range at {
				at[i] = from + geometry.Length(i)*repeat/periods // never by adding up a rounded period
			}
			return at
		}, false})
		if repeat == periods*p.period {
			break // nothing to share
		}
	}
	return out
}

// coursesApart keeps all labels between the ends of the frame.
func (fr *frame) coursesApart(f *family, p placed) []course {
	s := spot{float64(p.pitch), float64(p.shear), float64(p.stagger), float64(p.step), float64(p.period)}
	ranks := f.ranks(s, p.n)
	run, rate := fr.apart(ranks, s.period, len(ranks))
	if rate == 0 {
		return nil
	}
	begin := geometry.Length(ranks[run.first].at)
	length := geometry.Length(run.length)
	need := length + fr.height + fr.gap
	if need > fr.limit() {
		return nil
	}
	repeat := need
	if fr.repeat.Fixed > 0 {
		repeat = fr.repeat.Fixed
	}
	// within gives the labels of a lane that the frame holds, in their old places.
	within := func(member, lane int) []geometry.Length {
		y := geometry.Length(member)*p.step + geometry.Length(lane)*p.shear - begin
		y -= geometry.FloorDiv(y, p.period) * p.period
		var at []geometry.Length
		for ; y <= length; y += p.period {
			at = append(at, y)
		}
		return at
	}
	spread := func(member, lane int) []geometry.Length {
		at := within(member, lane)
		for i := range at {
			if length > 0 {
				at[i] += (repeat - need) * at[i] / length
			}
		}
		return at
	}
	out := []course{{repeat, spread, true}, {repeat, within, true}}
	if repeat == need {
		out = out[1:]
	}
	return out
}

// lay makes the layout of a settled pattern, nil where the finished frame does
// not keep the gap everywhere.
func (p *planner) lay(f *family, s placed, c course) *Arrangement {
	width := geometry.Length(s.n[0]-1)*s.pitch + f.size.Across
	if f.pair() {
		width = max(width, s.stagger+geometry.Length(s.n[1]-1)*s.pitch+f.size.Across)
	}
	left := (p.r.Web.Width - width) / 2
	var stations []geometry.Station
	for member, turn := range f.turns {
		for lane := range s.n[member] {
			x := left + geometry.Length(member)*s.stagger + geometry.Length(lane)*s.pitch
			for _, y := range c.at(member, lane) {
				if !c.apart {
					y -= geometry.FloorDiv(y, c.repeat) * c.repeat // what begins beyond the frame stands on the next
				}
				trim := geometry.BoxAt(geometry.Position{Across: x, Around: y}, f.size)
				stations = append(stations, geometry.Station{Turn: turn, Trim: trim})
			}
		}
	}
	if len(stations) == 0 || len(stations) > geometry.MostStations {
		return nil
	}
	middle(stations, c.repeat)
	a := &Arrangement{Pattern: pattern(f, s), Pitch: s.pitch, Stagger: s.stagger, Period: s.period, PerRow: s.n}
	if !f.pair() {
		a.PerRow[1] = s.n[0]
	}
	a.members = len(f.turns)
	a.Layout = &geometry.Layout{Web: p.r.Web, Label: f.size, Area: p.shape.Area(), Turn: f.turns[0], Repeat: c.repeat, Station: stations}
	number(a.Layout, s.shear != 0)
	kept := true
	p.neighbours(a.Layout, max(p.r.Gap.Across, p.r.Gap.Around), func(g, h geometry.Turn, by geometry.Size) bool {
		kept = p.keeper.keeps(g, h, by)
		return kept
	})
	if !kept {
		return nil
	}
	return a
}

// pattern names what a family's spot comes to.
func pattern(f *family, p placed) Pattern {
	switch {
	case f.pair() && f.turns[0] != f.turns[1] && p.shear != 0:
		return Paired
	case f.pair() && f.turns[0] != f.turns[1]:
		return Alternating
	case p.shear != 0:
		return Sheared
	case f.pair():
		return Staggered
	}
	return Interlocked
}

// middle moves the labels so that what they leave of the frame lies at both ends
// alike.
func middle(stations []geometry.Station, repeat geometry.Length) {
	lo, hi := stations[0].Trim.Min.Around, stations[0].Trim.Max.Around
	for _, s := range stations {
		lo, hi = min(lo, s.Trim.Min.Around), max(hi, s.Trim.Max.Around)
	}
	move := geometry.Size{Around: (repeat-(hi-lo))/2 - lo}
	for i := range stations {
		stations[i].Trim = stations[i].Trim.Moved(move)
	}
}

// straight takes over the grid.
func (p *planner) straight(l *geometry.Layout) *Arrangement {
	pitch, period := l.Label.Across+l.Gap.Across, l.Repeat/geometry.Length(l.Around)
	a := &Arrangement{Pattern: Straight, Pitch: pitch, Period: period, PerRow: [2]int{l.Across, l.Across}, Layout: l, members: 1}
	number(l, false)
	p.finish(a)
	return a
}

// number counts lanes, each place across being one, and rows: each place around
// being one or, where rows slant, the labels of each lane one after the other.
// The stations come in the order of rows, then of lanes.
func number(l *geometry.Layout, slanted bool) {
	l.Across = count(l.Station, func(s *geometry.Station) (geometry.Length, *int) { return s.Trim.Min.Across, &s.Lane })
	l.Around = count(l.Station, func(s *geometry.Station) (geometry.Length, *int) { return s.Trim.Min.Around, &s.Row })
	order := func(s, t geometry.Station) int {
		if s.Row != t.Row {
			return s.Row - t.Row
		}
		return s.Lane - t.Lane
	}
	slices.SortFunc(l.Station, order)
	if slanted {
		l.Around = 0
		inLane := make([]int, l.Across+1)
		for i := range l.Station {
			s := &l.Station[i]
			inLane[s.Lane]++
			s.Row = inLane[s.Lane]
			l.Around = max(l.Around, s.Row)
		}
		slices.SortFunc(l.Station, order)
	}
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
