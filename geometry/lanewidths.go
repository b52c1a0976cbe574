package geometry

import "fmt"

// LaneLabel is the label of one lane, where lanes differ in width.
type LaneLabel struct {
	Size Size    // trim of the upright label
	Area float64 // mm2, of its shape; zero means the whole rectangle
}

// PlanLanes lays lanes whose labels differ in width, one for each of the list,
// the first at the left: the block stands on the web like that of a grid, with
// the request's gap between neighbours, and the rows are those of any frame.
// Labels must be equally long around once they are turned, because all lanes
// share the rows. The request's Label, Area and Lanes are not looked at. Errors
// are those of Plan.
func PlanLanes(r Request, lanes []LaneLabel) (*Layout, error) {
	if reasons := r.laneFaults(lanes); len(reasons) > 0 {
		return nil, &NotFitError{reasons}
	}
	best, refused := r.densest(func(t Turn) (*Layout, []Reason) { return r.planLanes(lanes, t) })
	if best == nil {
		return nil, &NotFitError{refused}
	}
	best.grid(r.Shift)
	return best, nil
}

// laneFaults lists what no web could take: each lane's label asked as that of a
// grid.
func (r Request) laneFaults(lanes []LaneLabel) []Reason {
	if len(lanes) == 0 {
		return []Reason{{CodeCount, "no lane has a label", "give the label of at least one lane"}}
	}
	for i, lane := range lanes {
		one := r
		one.Label, one.Area, one.Lanes = lane.Size, lane.Area, len(lanes)
		reasons := one.faults()
		for k := range reasons {
			reasons[k].Text = fmt.Sprintf("lane %d: %s", i+1, reasons[k].Text)
		}
		if len(reasons) > 0 {
			return reasons
		}
	}
	return nil
}

// planLanes counts the rows at one turn; the stations are not laid yet.
func (r Request) planLanes(lanes []LaneLabel, t Turn) (*Layout, []Reason) {
	l := &Layout{Web: r.Web, Turn: t, Across: len(lanes), Bleed: r.Bleed, Widths: make([]Length, len(lanes))}
	l.Label.Around = lanes[0].Size.Turned(t).Around
	for i, lane := range lanes {
		label := lane.Size.Turned(t)
		if label.Around != l.Label.Around {
			return nil, []Reason{{CodeLanesDiffer,
				fmt.Sprintf("turned by %s degrees, the label of lane %d is %s around and that of lane 1 %s", t, i+1, label.Around, l.Label.Around),
				"lanes may differ in width, not in length: all share the rows and the cuts across"}}
		}
		l.Widths[i] = label.Across
		l.Label.Across = max(l.Label.Across, label.Across)
		area := lane.Area
		if area == 0 {
			area = lane.Size.Area()
		}
		l.Area += area / float64(len(lanes))
	}
	l.Gap.Across = r.Gap.Across
	reasons := r.laneRoom(l)
	rows, repeat, more := r.rows(l.Label.Around)
	if reasons = append(reasons, more...); len(reasons) > 0 {
		return nil, reasons
	}
	if l.Across > MostStations/rows {
		return nil, []Reason{tooMany(l.Across, rows)}
	}
	l.Around, l.Repeat, l.Gap.Around = rows, repeat, repeat/Length(rows)-l.Label.Around
	return l, nil
}

// laneRoom tells why the lanes don't stand side by side on the web.
func (r Request) laneRoom(l *Layout) []Reason {
	band := r.Web.BandOff(r.Shift)
	needs := l.blockWidth() + 2*r.Bleed
	if needs <= band {
		return nil
	}
	return []Reason{{CodeTooWide,
		fmt.Sprintf("%s with %s bleed on both sides %s %s across, the band gives %s", lanesOf(l.Across), r.Bleed, need(l.Across), needs.up(), band.down()),
		fmt.Sprintf("a web of %s would take it", (r.Web.Width + needs - band).up())}}
}

// LaneWidth returns the label's width across in a lane; the first is 1.
func (l *Layout) LaneWidth(lane int) Length {
	if l.Widths == nil {
		return l.Label.Across
	}
	return l.Widths[lane-1]
}

// blockWidth gives what all lanes take across, trim to trim.
func (l *Layout) blockWidth() Length {
	width := -l.Gap.Across
	for lane := 1; lane <= l.Across; lane++ {
		width += l.LaneWidth(lane) + l.Gap.Across
	}
	return width
}

// LaneShare says how lanes of different widths share a band: each takes its
// label and one gap of the capacity, so that any lanes fit whose widths add up
// to no more. It counts in the largest unit in which all widths are whole;
// where that is under a micrometre, widths are rounded up to one and the
// capacity down. labels are the widths across, all positive.
func LaneShare(web Web, gap, bleed, shift Length, labels []Length) (capacity int64, widths []int64) {
	room := LaneRoom(web, gap, bleed, shift)
	unit := Length(0)
	for _, w := range labels {
		unit = commonDivisor(w+gap, unit)
	}
	unit = max(unit, Micrometre)
	for _, w := range labels {
		widths = append(widths, int64((w+gap+unit-1)/unit))
	}
	return int64(max(room, 0) / unit), widths
}

// LaneRoom returns what lanes share, each of them taking its label and one gap.
func LaneRoom(web Web, gap, bleed, shift Length) Length {
	return web.BandOff(shift) - 2*bleed + gap
}

func commonDivisor(a, b Length) Length {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
