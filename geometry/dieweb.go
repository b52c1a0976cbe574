package geometry

import (
	"fmt"
	"slices"
)

// on tries what is known of a die on one web.
func (w *Wish) on(f Fit, web Web, near bool) Fit {
	d := f.Die
	f.Web = web
	l, reasons := d.planChecked(w.request(web, d.Size), f.Turn)
	block := BlockWidth(l.Across, d.Size.Across, l.Gap.Across)
	reasons = append(reasons, w.edgeReasons(web, block)...)
	f.Least = max(block+2*(w.Bleed+web.Margin()), block+2*w.Edge)
	f.Across, f.Around, f.Gap, f.Repeat, f.Tail = l.Across, l.Around, l.Gap, l.Repeat, l.Tail
	if serves := len(f.reasons) == 0 || near; serves && len(reasons) == 0 {
		f.Fits, f.Near = !near, near
		reasons = f.count(w, &l, block)
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
		f.Cost = x.web.MM() * x.repeat.MM() / float64(x.labels)
	} else {
		run, err := x.run([]Demand{{Quantity: w.Quantity, Places: x.labels}}, w.Terms)
		if err != nil {
			return []Reason{reason(CodeRun, err)}
		}
		f.Run, f.Cost = run, x.web.MM()*run.Gross.MM()
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

// narrower is how much narrower a web must be to be worth a word: webs are slit
// in steps of about so much. Common practice, no source.
const narrower = 10 * Millimetre

// edgeReasons tells why the matrix at the web's edges is too narrow.
func (w *Wish) edgeReasons(web Web, block Length) []Reason {
	needs := block + 2*w.Edge
	if needs <= web.Width {
		return nil
	}
	return []Reason{{CodeEdgeMatrix,
		fmt.Sprintf("the lanes with a matrix of %s at each edge need %s, the web gives %s", w.Edge, needs, web.Width),
		fmt.Sprintf("a web of %s would take it", needs)}}
}
