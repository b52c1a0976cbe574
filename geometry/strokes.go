package geometry

import "fmt"

// longestCut gives the longest stroke of the stations that are made for the die;
// 0 where there is none, or one whose stroke isn't known.
func longestCut(stations []DieStation, d *Die) Length {
	return farthest(stations, d, func(s DieStation) Length { return s.Stroke })
}

// reach gives what the die cuts around without moving the web on: from the first
// row to the end of the last, or the label alone where rows are free.
func (d *Die) reach() Length {
	if d.free() {
		return d.Size.Around
	}
	return d.Advance() - d.gapAround()
}

// shared gives the most rows, up to the layout's own, that are cut in strokes of
// equally many rows, as few as there can be, and how many strokes those are. The
// label is no longer than the stroke. That a laser on a web that steps cuts the
// same rows in each step is common practice, no source.
func (l *Layout) shared(repeat Repeat, stroke Length) (rows, strokes int) {
	for rows = l.Around; rows > 1; rows-- {
		pitch := l.Repeat / Length(l.Around)
		if repeat.Fixed > 0 {
			pitch = repeat.Fixed / Length(rows)
		}
		most := int((stroke-l.Label.Around)/pitch) + 1
		if strokes = (rows + most - 1) / most; rows%strokes == 0 {
			return rows, strokes
		}
	}
	return 1, 1
}

// freed gives a grid without a tool only as many rows as the frame takes and the
// laser's stroke cuts, and tells of those that are left out.
func (w *Wish) freed(d *Die, r *Request, turn Turn) (used Die, strokes int, left []Reason) {
	used = *d
	limit, what := r.Repeat.Fixed, "the repeat"
	if limit == 0 {
		limit, what = r.Repeat.Max, "the longest frame"
	}
	if room := RowsIn(limit, d.Size.Around, d.gaps(w.Gap).Around); room > 0 && room < d.Rows {
		used.Rows = room
		left = append(left, Reason{CodeRowsUnused, fmt.Sprintf("%s gives %s: %d of %d rows are used", what, limit, room, d.Rows), ""})
	}
	stroke := longestCut(w.Stations, d)
	if d.Station != Laser || stroke < d.Size.Around {
		return used, 0, left
	}
	l, _ := used.planChecked(r, turn)
	if l.Around == 0 {
		return used, 0, left
	}
	rows, strokes := l.shared(r.Repeat, stroke)
	if rows < l.Around {
		used.Rows = rows
		left = append(left, Reason{CodeRowsUnused, fmt.Sprintf("the laser station's stroke is %s: of %d rows that find room %d are cut, %s in each of %s",
			stroke, l.Around, rows, rowsOf(rows/strokes), strokesOf(strokes)), ""})
	}
	return used, strokes, left
}

func strokesOf(n int) string {
	if n == 1 {
		return "1 stroke"
	}
	return fmt.Sprintf("%d strokes", n)
}

// spreadWithin gives the rows of a new full-rotary tool, up to so many: spread
// over the circumference, they leave as much of it free as does not cut.
func spreadWithin(rows int, repeat, label, stroke Length) int {
	for stroke > 0 && rows > 1 && repeat-(repeat/Length(rows)-label) > stroke {
		rows--
	}
	return rows
}
