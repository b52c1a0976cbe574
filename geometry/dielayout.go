package geometry

import "fmt"

// plan counts the die's lanes and rows; the stations are not laid yet. The
// request's label stands as on the die.
func (d *Die) plan(r *Request, turn Turn) (Layout, []Reason) {
	if reasons := d.Check(); len(reasons) > 0 {
		return Layout{}, reasons
	}
	if reasons := r.faults(); len(reasons) > 0 {
		return Layout{}, reasons
	}
	return d.planChecked(r, turn)
}

// planChecked is plan for a die and a request that are known to be sound.
func (d *Die) planChecked(r *Request, turn Turn) (Layout, []Reason) {
	l := Layout{
		Web: r.Web, Label: d.Size, Area: d.area(), Turn: turn,
		Across: d.Lanes, Gap: Size{d.Gap.Across, 0}, Bleed: r.Bleed,
	}
	if d.free() {
		grid := *r
		grid.Lanes, grid.Rows, grid.Gap = d.Lanes, d.Rows, d.gaps(r.Gap)
		p, reasons := grid.plan(Turn0)
		if p == nil {
			return l, reasons
		}
		l.Across, l.Around, l.Gap, l.Repeat = p.Across, p.Around, p.Gap, p.Repeat
		return l, nil
	}
	reasons := d.acrossReasons(r)
	if reasons = append(reasons, d.frame(r.Repeat, &l)...); len(reasons) > 0 {
		return l, reasons
	}
	if l.Across > MostStations/l.Around {
		return l, []Reason{tooMany(l.Across, l.Around)}
	}
	return l, nil
}

// acrossReasons tells why the die's lanes don't print on the web.
func (d *Die) acrossReasons(r *Request) []Reason {
	band, needs := r.Web.Band(), d.cutWidth()+2*r.Bleed
	if needs <= band {
		return nil
	}
	return []Reason{{CodeTooWide,
		fmt.Sprintf("%s with %s bleed on both sides %s %s across, the band gives %s", lanesOf(d.Lanes), r.Bleed, need(d.Lanes), needs, band),
		fmt.Sprintf("a web of %s would take it", r.Web.Width+needs-band)}}
}

// frame sets the rows, the repeat, the gap around and the tail, or tells why
// the tool suits no frame.
func (d *Die) frame(repeat Repeat, l *Layout) []Reason {
	advance := d.Advance()
	limit, what := repeat.Fixed, "the repeat"
	if limit == 0 {
		limit, what = repeat.Max, "the longest frame"
	}
	times := int(limit / advance)
	if d.Station == FullRotary && repeat.Fixed > 0 {
		n, walk := Walk(limit, advance)
		// A repeat is known to half a nanometre, n of them to no more than n.
		if walk > Length(n) {
			reason := Reason{Code: CodeRotaryMultiple, Text: fmt.Sprintf(
				"a frame of %s is no whole number of the die's %s: register walks by %s with every frame", limit, advance, walk)}
			if times > 0 {
				reason.Nearest = fmt.Sprintf("a frame of %s would do", Length(times)*advance)
			} else {
				reason.Nearest = fmt.Sprintf("a frame of %s would do", advance)
			}
			return []Reason{reason}
		}
		times = n
	}
	if times == 0 {
		return []Reason{{CodeTooLong, fmt.Sprintf("one turn or stroke of the die takes %s around, %s gives %s", advance, what, limit),
			fmt.Sprintf("a repeat of %s would take it", advance)}}
	}
	l.Around = times * d.Rows
	l.Repeat = Length(times) * advance
	if repeat.Fixed > 0 {
		l.Repeat = repeat.Fixed
		if d.Station != FullRotary {
			l.Tail = repeat.Fixed - Length(times)*advance
		}
	}
	l.Gap.Around = (l.Repeat-l.Tail)/Length(l.Around) - d.Size.Around
	return nil
}
