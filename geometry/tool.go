package geometry

import "fmt"

// RankTools returns the best new full-rotary tool for each cylinder: turn, web,
// lanes and rows by the least web that the order costs. Each Fit's Die is the
// tool to be made, without a number. The rows are spread over the cylinder with
// at least the wanted gap.
func RankTools(cylinders []Cylinder, w Wish) ([]Fit, error) {
	if err := w.check(); err != nil {
		return nil, err
	}
	fits := make([]Fit, len(cylinders))
	for i, c := range cylinders {
		tool := Die{Cylinder: c, Station: FullRotary}
		if err := c.Check(); err != nil {
			fits[i] = w.verdict(&tool, Turn0, w.Webs[0], []Reason{reason(CodeDieGear, err)})
			continue
		}
		fits[i] = w.best(tool, FixedRepeat(c.Repeat()), w.Webs)
	}
	return ranked(fits), nil
}

// RankWebs returns the best straight layout on each web with no tool in mind, in
// frames as the wish's repeat says, by the least web that the order costs. Each
// Fit's Die holds the grid.
func RankWebs(w Wish) ([]Fit, error) {
	if err := w.check(); err != nil {
		return nil, err
	}
	fits := make([]Fit, len(w.Webs))
	for i := range w.Webs {
		fits[i] = w.best(Die{}, w.Repeat, w.Webs[i:i+1])
	}
	return ranked(fits), nil
}

// BestLaser returns the best straight layout that the machine's laser cuts, in
// frames as the wish's repeat says: turn, web, lanes and rows by the least web
// that the order costs. The Fit's Die holds the grid.
func BestLaser(w Wish) (Fit, error) {
	if err := w.check(); err != nil {
		return Fit{}, err
	}
	return w.best(Die{Station: Laser}, w.Repeat, w.Webs), nil
}

// best tries a new tool, that takes so much around, on each web at each turn.
func (w *Wish) best(tool Die, around Repeat, webs []Web) Fit {
	var best Fit
	for k, one := range w.apart(tool.Station) {
		for i, web := range webs {
			for j, turn := range upright(w.turns()) {
				if f := one.newTool(tool, around, web, turn); i+j+k == 0 || f.compare(&best) < 0 {
					best = f
				}
			}
		}
	}
	return best
}

// newTool makes the tool with all lanes and rows that there is room for.
func (w *Wish) newTool(tool Die, around Repeat, web Web, turn Turn) Fit {
	tool.Shape, tool.Outline, tool.Radius, tool.Area = w.Shape, w.Outline, max(w.Radius, 0), w.area()
	tool.Size, tool.Gap.Across = w.Label.Turned(turn), w.Gap.Across
	r := w.request(web, w.Label)
	r.Repeat = around
	l, reasons := r.plan(turn)
	if l == nil {
		return w.verdict(&tool, turn, web, reasons)
	}
	tool.Lanes = w.lanesOfTool(&tool, web, l.Across)
	tool.Rows = l.Around
	var unused []Reason
	if tool.free() {
		tool.Gap = w.Gap
	}
	if tool.Station == Laser {
		tool.Rows = 0 // as many as its stroke cuts
	} else if stroke := longestCut(w.Stations, &tool); tool.Station == FullRotary {
		tool.Rows = spreadWithin(l.Around, tool.Cylinder.Repeat(), tool.Size.Around, stroke)
		if tool.Rows < l.Around {
			unused = []Reason{{CodeRowsUnused, fmt.Sprintf("the full-rotary station cuts %s around: %s where %d find room", stroke, rowsOf(tool.Rows), l.Around), ""}}
		}
	}
	reasons, warnings := w.suits(&tool)
	f := w.verdict(&tool, turn, web, reasons)
	f.Warnings = append(unused, warnings...)
	f = w.on(f, web, false)
	if tool.Station == Laser {
		tool.Rows = f.Around
	}
	return f
}

// lanesOfTool gives the most lanes, up to those that print, that a new tool cuts on
// the web; with room for none, one lane says what is missing.
func (w *Wish) lanesOfTool(tool *Die, web Web, lanes int) int {
	lanes = min(lanes, LanesIn(web.Width, tool.Size.Across, w.Gap.Across, w.EdgeMatrix))
	if widest := widestCut(w.Stations, tool); widest > 0 {
		lanes = min(lanes, LanesIn(widest, tool.Size.Across, w.Gap.Across, 0))
	}
	return max(lanes, 1)
}

func (w *Wish) verdict(d *Die, turn Turn, web Web, reasons []Reason) Fit {
	return Fit{Die: d, Turn: turn, Web: web, reasons: reasons, wish: w, judged: true}
}

// upright keeps the first turn of each kind, standing and lying: a turn by half
// needs the same room.
func upright(turns []Turn) []Turn {
	out := turns[:1:1]
	for _, t := range turns {
		if t.Swaps() != turns[0].Swaps() {
			return append(out, t)
		}
	}
	return out
}
