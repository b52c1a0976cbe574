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
	if room := w.lanesOn(d, web); room > 0 && (d.Lanes == 0 || room < d.Lanes) {
		used.Lanes = room
	}
	r, left := w.request(web, d.Size), []Reason(nil)
	if d.free() {
		used, f.Strokes, left = w.freed(&used, r, f.Turn)
	}
	l, reasons := used.planChecked(r, f.Turn)
	block := BlockWidth(l.Across, d.Size.Across, l.Gap.Across)
	reasons = append(reasons, w.edgeReasons(web, block)...)
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

// unusedLanes warns of the lanes of a die that find no room on the web, and says
// why. The lanes that do stand in its middle, so that the next one cuts beside
// it, or into its edge. That wide tools are run with fewer lanes is common
// practice, no source.
func (w *Wish) unusedLanes(d *Die, web Web, block Length, used int) []Reason {
	if d.Lanes <= used {
		return nil
	}
	r := Reason{Code: CodeLanesUnused, Text: fmt.Sprintf("the %s station cuts %s", d.Station, widestCut(w.Stations, d))}
	if why := append(d.acrossReasons(w.request(web, d.Size)), w.edgeReasons(web, d.cutWidth())...); len(why) > 0 {
		r = Reason{CodeLanesUnused, why[0].Text, why[0].Nearest}
	}
	r.Text += fmt.Sprintf(": %d of its %d lanes are used", used, d.Lanes)
	if !d.free() {
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
