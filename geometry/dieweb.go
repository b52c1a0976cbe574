package geometry

import (
	"fmt"
	"slices"
)

// on tries what is known of a die on one web.
func (w *Wish) on(f Fit, web Web, near bool) Fit {
	d := f.Die
	f.Web = web
	used := *d
	room := w.lanesOn(d, web)
	if room > 0 && (d.Lanes == 0 || room < d.Lanes) {
		used.Lanes = w.spares(d, web, room)
	}
	r, left := w.request(web, d.Size), []Reason(nil)
	if d.free() {
		used, f.Strokes, left = w.freed(&used, r, f.Turn)
	}
	l, reasons := used.planChecked(r, f.Turn)
	block := BlockWidth(l.Across, d.Size.Across, l.Gap.Across)
	reasons = append(reasons, w.edgeReasons(web, block)...)
	if 0 < room && room < used.Lanes && len(reasons) > 0 {
		reasons[len(reasons)-1].Nearest += fmt.Sprintf("; where the shop runs such a die with %s, say unused-lanes", lanesOf(room))
	}
	f.Least = max(block+2*(w.Bleed+web.Margin()), block+2*w.EdgeMatrix)
	f.Across, f.Around, f.Gap, f.Repeat, f.Tail = l.Across, l.Around, l.Gap, l.Repeat, l.Tail
	if d.Station == SemiRotary || d.Station == FlatBed {
		f.Strokes = l.Around / d.Rows
	}
	if serves := len(f.reasons) == 0 || near; serves && len(reasons) == 0 {
		f.Fits, f.Near = !near, near
		reasons = f.count(w, &l, block)
		f.Warnings = append(f.Warnings, w.unusedLanes(d, web, block, used.Lanes)...)
		f.Warnings = append(f.Warnings, left...)
	}
	if len(reasons) > 0 {
		f.Fits, f.Near = false, false
		f.reasons = slices.Concat(f.reasons, reasons)
	}
	return f
}

// count fills in what the layout costs, and warns of what it lacks.
func (f *Fit) count(w *Wish, l *Layout, block Length) []Reason {
	x := extent{l.Web.Width, block, l.Repeat, l.Tail, f.Labels(), l.Area}
	f.Split = x.split()
	if w.Quantity == 0 {
		f.WebArea = x.web.MM() * x.repeat.MM() / float64(x.labels)
	} else {
		run, err := x.run([]Demand{{Quantity: w.Quantity, Places: x.labels}}, w.Terms)
		if err != nil {
			return []Reason{reason(CodeRun, err)}
		}
		f.Run, f.WebArea = run, x.web.MM()*run.Gross.MM()
	}
	f.Warnings = slices.Clip(f.Warnings) // shared with the same die's other webs
	if room, clipped := l.BleedClipped(); clipped {
		f.Warnings = append(f.Warnings, Reason{CodeBleedClipped, fmt.Sprintf(
			"the gaps leave %s across and %s around of a bleed of %s", room.Across, room.Around, l.Bleed), ""})
	}
	if f.Least <= l.Web.Width-narrower {
		f.Warnings = append(f.Warnings, Reason{CodeNarrowerWeb, fmt.Sprintf(
			"a web of %s would do: %.1f %% of it would be edge, not %.1f %%", f.Least,
			100*(f.Least-block).MM()/f.Least.MM(), f.Split.Edge), ""})
	}
	return nil
}

// lanesOn gives the lanes of a die that print on the web, hold their matrix at
// its edges, and, of a grid without a tool, are within the station's width; 0
// where not one does.
func (w *Wish) lanesOn(d *Die, web Web) int {
	gap := d.gaps(w.Gap).Across
	lanes := min(LanesIn(web.Band(), d.Size.Across, gap, w.Bleed), LanesIn(web.Width, d.Size.Across, gap, w.EdgeMatrix))
	if widest := widestCut(w.Stations, d); d.free() && widest > 0 {
		lanes = min(lanes, LanesIn(widest, d.Size.Across, gap, 0))
	}
	return lanes
}

// spares gives the lanes that a die of more than there is room for prints on. A
// tool's others cut all the same: blank web where its whole field stands on it
// (with one lane less perhaps, so that as many are spared on both sides), and
// otherwise into the edge, which then tears, and the backing beside it. That is
// for the shop to allow; without, the die keeps its lanes, and doesn't fit.
// Common practice, no source.
func (w *Wish) spares(d *Die, web Web, room int) int {
	if d.free() || w.UnusedLanes || w.whole(d, web, room) {
		return room
	}
	if room > 1 && w.whole(d, web, room-1) {
		return room - 1
	}
	return d.Lanes
}

// whole reports whether all of a die's lanes cut on the web, with the edge's
// matrix, where so many stand in its middle.
func (w *Wish) whole(d *Die, web Web, lanes int) bool {
	gap := d.gaps(w.Gap).Across
	aside := Length((d.Lanes-lanes+1)/2) * (d.Size.Across + gap) // on the side of more
	return BlockWidth(lanes, d.Size.Across, gap)+2*(aside+w.EdgeMatrix) <= web.Width
}

// unusedLanes warns of the lanes of a die that find no room on the web, and says
// why. The lanes that do stand in its middle, so that the next one cuts blank web,
// beside it, or into its edge.
func (w *Wish) unusedLanes(d *Die, web Web, block Length, used int) []Reason {
	if d.Lanes <= used {
		return nil
	}
	r := Reason{Code: CodeLanesUnused, Text: fmt.Sprintf("the %s station cuts %s", d.Station, widestCut(w.Stations, d))}
	if why := append(d.acrossReasons(w.request(web, d.Size)), w.edgeReasons(web, d.cutWidth())...); len(why) > 0 {
		r = Reason{CodeLanesUnused, why[0].Text, why[0].Nearest}
	}
	r.Text += fmt.Sprintf(": %d of its %d lanes are used", used, d.Lanes)
	switch {
	case d.free():
	case w.whole(d, web, used):
		r.Text += ", the others cut blank web"
	default:
		r.Text += ", the others cut beside the web"
		if into := (web.Width-block)/2 - d.Gap.Across; into > 0 {
			r.Text += fmt.Sprintf(", the next one %s into its edge", into)
		}
	}
	return []Reason{r}
}

// narrower is how much narrower a web must be to be worth a word: webs are slit
// in steps of about so much. Common practice, no source.
const narrower = 10 * Millimetre

// edgeReasons tells why the matrix at the web's edges is too narrow.
func (w *Wish) edgeReasons(web Web, block Length) []Reason {
	needs := block + 2*w.EdgeMatrix
	if needs <= web.Width {
		return nil
	}
	return []Reason{{CodeEdgeMatrix,
		fmt.Sprintf("the lanes with a matrix of %s at each edge need %s, the web gives %s", w.EdgeMatrix, needs, web.Width),
		fmt.Sprintf("a web of %s would take it", needs)}}
}
