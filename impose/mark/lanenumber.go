package mark

import (
	"cmp"
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
)

// Sizes of the capitals of lane numbers: the least are those of 6 point type,
// whose capitals are 0.7 of its size.
const (
	numberBest  = 3 * mm
	numberLeast = 1450 * um
	overshoot   = 1.05 // at most, of a round figure above and below a capital together
	numberHalo  = 200 * um
)

// numberRow is a line across the web on which all lanes' numbers may stand, each
// in a stretch around of its own.
type numberRow struct {
	room   []span // of each lane, from bleed to bleed or from trim to trim
	clear  geometry.Length
	space  *space
	onHalo bool // over bleed, and so on paper of their own
}

// numberBench lays the lanes' numbers.
type numberBench struct{ *bench }

// lay prints each lane's number at the frame's start or behind the first
// row, so that rolls can be told apart before the waste is stripped: where the
// bleed leaves room, or else on paper over the bleed between trims, or else between
// the lanes. All lanes have one, or none has: a single number missing would mislead.
func (b numberBench) lay(want bool) {
	if !want {
		return
	}
	rows := b.rows()
	for _, row := range rows {
		if b.on(row) {
			b.out.Laid.Numbers = true
			return
		}
	}
	if b.beside() {
		b.out.Laid.Numbers, b.out.Laid.NumbersBeside = true, true
		return
	}
	most := geometry.Length(0)
	for _, row := range rows {
		if row.onHalo {
			most = max(most, row.least())
		}
	}
	need := scaled(numberLeast, overshoot) + 2*(offTrim+numberHalo)
	if most < need {
		b.miss("no lane numbers: there is no more than %s between the trims of a lane, or before the first, and they need %s, nor between lanes; a wider gap between rows or lanes has room", most, need)
		return
	}
	b.miss("no lane numbers: between the rows something else stands in the way of one, or a label that reaches across the lanes")
}

// least is the smallest room of a lane.
func (r *numberRow) least() geometry.Length {
	least := r.room[0].length()
	for _, s := range r.room {
		least = min(least, s.length())
	}
	return max(0, least)
}

// rows returns the rows on which numbers may stand, the best first.
func (b numberBench) rows() []numberRow {
	n := b.layout.Across
	first, second := make([]geometry.Station, n), make([]geometry.Station, n)
	for _, s := range b.layout.Station {
		f, next := &first[s.Lane-1], &second[s.Lane-1]
		switch {
		case f.Lane == 0:
			*f = s
		case s.Trim.Min.Around < f.Trim.Min.Around:
			*f, *next = s, *f
		case next.Lane == 0 || s.Trim.Min.Around < next.Trim.Min.Around:
			*next = s
		}
	}
	start := func(from func(geometry.Station) geometry.Box) (list []span) {
		for _, s := range first {
			list = append(list, span{0, from(s).Min.Around})
		}
		return list
	}
	between := func(from func(geometry.Station) geometry.Box) (list []span) {
		for i, s := range first {
			list = append(list, span{from(s).Max.Around, from(second[i]).Min.Around})
		}
		return list
	}
	clip := func(s geometry.Station) geometry.Box { return s.Clip }
	trim := func(s geometry.Station) geometry.Box { return s.Trim }
	rows := []numberRow{{room: start(clip), clear: b.clear, space: b.space}}
	if b.layout.Around > 1 {
		rows = append(rows, numberRow{room: between(clip), clear: b.clear, space: b.space})
	}
	const off = offTrim + numberHalo
	rows = append(rows, numberRow{room: start(trim), clear: off, space: b.space.matrix, onHalo: true})
	if b.layout.Around > 1 {
		rows = append(rows, numberRow{room: between(trim), clear: off, space: b.space.matrix, onHalo: true})
	}
	return rows
}

// on lays the numbers on a row, and reports whether all found room.
func (b numberBench) on(row numberRow) bool {
	height := min(numberBest, scaled(row.least()-2*row.clear, 1/overshoot))
	if height < numberLeast {
		return false
	}
	lanes := b.lanesAcross()
	slices.SortFunc(lanes, func(a, b laneSpan) int { return cmp.Compare(a.lane, b.lane) })
	var boxes []geometry.Box
	var paths []draw.Path
	for i, room := range row.room {
		text, err := lettering.Bold().Set(fmt.Sprint(i+1), height, geometry.Turn0)
		if err != nil {
			panic("mark: a number: " + err.Error())
		}
		// Figures overshoot the height of capitals, so their outlines count.
		drawn := text.Path.Bounds()
		across, ok := b.across(row, lanes[i].span, room, drawn.Size(), height)
		if !ok {
			return false
		}
		move := geometry.Size{Across: across - drawn.Min.Across, Around: room.from + row.clear - drawn.Min.Around}
		boxes, paths = append(boxes, drawn.Moved(move)), append(paths, text.Path.Moved(move))
	}
	for i, box := range boxes {
		if row.onHalo {
			halo := box.Outset(numberHalo)
			b.out.Items = append(b.out.Items, draw.Fill{Layer: draw.Marks, Path: draw.Rectangle(halo), Paint: b.paper()})
			b.out.Matrix = append(b.out.Matrix, halo, box)
			b.space.take(halo)
		}
		b.add(box, draw.Fill{Layer: draw.Marks, Path: paths[i], Paint: draw.Solid(b.dark.Name)})
	}
	return true
}

// across finds the place of a number across its lane, from the lane's left
// edge on in steps of its height.
func (b numberBench) across(row numberRow, lane, room span, size geometry.Size, height geometry.Length) (at geometry.Length, ok bool) {
	for at = lane.from + height/2; at+size.Across <= lane.to; at += height {
		box := geometry.BoxAt(geometry.Position{Across: at, Around: room.from + row.clear}, size)
		if row.onHalo {
			// The matrix already keeps the trims off; the halo keeps all else off.
			if row.space.free(box.Outset(numberHalo), tickClear) {
				return at, true
			}
		} else if row.space.free(box, row.clear) {
			return at, true
		}
	}
	return 0, false
}

// miss says that there are none: a warning, for rolls are told apart by
// them, but not where there is one lane.
func (b numberBench) miss(text string, args ...any) {
	list := &b.out.Warnings
	if b.layout.Across == 1 {
		list = &b.out.Notes
	}
	list.Add(CodeLaneNumbers, text, args...)
}
