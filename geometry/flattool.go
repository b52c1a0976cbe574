package geometry

// RankFlatTools returns the best new flat tool for each semi-rotary and each flat-bed
// station of the wish whose stroke is known: turn, web, lanes and rows of a stroke by
// the least web that the order costs, with the wanted gaps. Each Fit's Die is the tool
// to be made, without a number; none where the wish has no such station. That a tool
// of these stations cuts one stroke, after which the web moves on by its rows, is as
// StationKind says.
func RankFlatTools(w Wish) ([]Fit, error) {
	if err := w.check(); err != nil {
		return nil, err
	}
	var fits []Fit
	for _, s := range w.Stations {
		if s.Kind != SemiRotary && s.Kind != FlatBed || s.Stroke == 0 {
			continue
		}
		one := w
		one.Stations = []DieStation{s}
		fits = append(fits, bestFlat(&one, s))
	}
	return ranked(fits), nil
}

// bestFlat tries a tool of each number of rows that the stroke takes, on each web at
// each turn.
func bestFlat(w *Wish, s DieStation) (best Fit) {
	first := true
	for _, web := range w.Webs {
		for _, turn := range upright(w.turns()) {
			size := w.Label.Turned(turn)
			for rows := max(LanesIn(s.Stroke, size.Around, w.Gap.Around, 0), 1); rows > 0; rows-- {
				if f := w.flatTool(s.Kind, web, turn, rows); first || f.compare(&best) < 0 {
					best, first = f, false
				}
			}
		}
	}
	return best
}

// flatTool makes the tool with all lanes that there is room for.
func (w *Wish) flatTool(kind StationKind, web Web, turn Turn, rows int) Fit {
	tool := Die{
		Station: kind, Shape: w.Shape, Outline: w.Outline, Radius: max(w.Radius, 0), Area: w.area(),
		Size: w.Label.Turned(turn), Gap: w.Gap, Rows: rows,
	}
	tool.Lanes = w.lanesOfTool(&tool, web, LanesIn(web.Band(), tool.Size.Across, w.Gap.Across, w.Bleed))
	reasons, warnings := w.suits(&tool)
	f := w.verdict(&tool, turn, web, reasons)
	f.Warnings = warnings
	return w.on(f, web, false)
}
