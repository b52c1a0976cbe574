package sheet

import (
	"image"

	"quoin/impose/sheet/typeset"
)

// fact is a name and what is to be said under it.
type fact struct{ name, text string }

// facts is a list of them.
type facts struct {
	list []fact
	size float64
}

const factGap = 2.5

// nameWidth returns the width of the names' column.
func (f facts) nameWidth(d *typeset.Document, width, k float64) float64 {
	w := 0.0
	for _, x := range f.list {
		w = max(w, d.Setting().Width(x.name, typeset.Style{Size: f.size * k}))
	}
	return min(w+8*k, 0.42*width)
}

func (f facts) row(x fact, d *typeset.Document, width, k float64) columns {
	w := f.nameWidth(d, width, k)
	gap := min(6*k, w/2)
	return columns{gap / k, []float64{w - gap, width - w}, []block{
		words{text: x.name, style: typeset.Style{Size: f.size}},
		words{text: x.text, style: typeset.Style{Size: f.size, Bold: true}},
	}}
}

// rows returns the list as it is set in a width.
func (f facts) rows(d *typeset.Document, width, k float64) stack {
	s := stack{gap: factGap}
	for _, x := range f.list {
		s.blocks = append(s.blocks, f.row(x, d, width, k))
	}
	return s
}

func (f facts) height(d *typeset.Document, width, k float64) float64 {
	return f.rows(d, width, k).height(d, width, k)
}

func (f facts) draw(d *typeset.Document, at typeset.Box, k float64) {
	f.rows(d, at.W, k).draw(d, at, k)
}

// column is one of a table. The widest text decides its width, except where it
// wraps: such a column takes what the others leave.
type column struct {
	head  string
	right bool // figures
	wraps bool
	bold  bool
	small bool
}

// table has a head and rows with lines between.
type table struct {
	columns []column
	rows    [][]string
	size    float64
	notes   []string // below the rows, from the column under on; may be none
	under   int
	// pictures stand left of the rows, each in its own; may be none.
	pictures []image.Image
}

// pictureSide is the room of a picture in a table of few rows.
const pictureSide = 44.0

// side returns how wide and high the pictures are: many rows have small ones.
func (t table) side(k float64) float64 {
	if len(t.pictures) == 0 {
		return 0
	}
	return k * max(16, min(pictureSide, 4*pictureSide/float64(len(t.rows))))
}

const cellPad = 3.0

func (t table) style(i int, k float64) typeset.Style {
	c := t.columns[i]
	s := typeset.Style{Size: t.size * k, Bold: c.bold}
	if c.small {
		s.Size *= 0.7
	}
	return s
}

func (t table) head(k float64) typeset.Style { return typeset.Style{Size: 0.75 * t.size * k} }

// widths returns the columns' widths. Heads break between words. Those that wrap
// have their longest words whole, where there is room for all, and share what
// is left by what more they would like to have.
func (t table) widths(d *typeset.Document, width, k float64) []float64 {
	list, words := make([]float64, len(t.columns)), make([]float64, len(t.columns))
	fixed, least, more := 0.0, 0.0, 0.0
	pad := 2*cellPad*k + 0.01
	for i, c := range t.columns {
		words[i] = d.Setting().LongestWord(c.head, t.head(k))
		list[i] = words[i]
		for _, r := range t.rows {
			list[i] = max(list[i], d.Setting().Width(r[i], t.style(i, k)))
			words[i] = max(words[i], d.Setting().LongestWord(r[i], t.style(i, k)))
		}
		list[i], words[i] = list[i]+pad, words[i]+pad
		if c.wraps {
			list[i] = min(list[i], width) // one long text takes not all from its neighbours
			words[i] = min(words[i], list[i])
			least += words[i]
			more += list[i] - words[i]
		} else {
			list[i] = min(list[i], 0.5*width)
			fixed += list[i]
		}
	}
	limit := min(fixed, 0.75*width)
	room := width - limit
	for i, c := range t.columns {
		switch {
		case !c.wraps:
			list[i] *= limit / fixed
		case least > room:
			list[i] = words[i] * room / least
		case more > 0:
			list[i] = words[i] + (list[i]-words[i])*(room-least)/more
		default:
			list[i] = words[i] * room / least
		}
	}
	return list
}

func (t table) cell(text string, i int) words {
	c := t.columns[i]
	w := words{text: text, style: t.style(i, 1)}
	if c.right {
		w.align = typeset.Right
	}
	return w
}

func (t table) rowHeight(d *typeset.Document, row []string, widths []float64, k float64) float64 {
	h := t.side(k)
	for i, text := range row {
		h = max(h, t.cell(text, i).height(d, widths[i]-2*cellPad*k, k))
	}
	return h + 3*k
}

// note returns what stands below a row, and the width that it has.
func (t table) note(row int, widths []float64, k float64) (words, float64) {
	if row >= len(t.notes) || t.notes[row] == "" {
		return words{}, 0
	}
	room := -2 * cellPad * k
	for _, w := range widths[t.under:] {
		room += w
	}
	return words{text: t.notes[row], style: plain(0.8 * t.size)}, room
}

func (t table) noteHeight(d *typeset.Document, row int, widths []float64, k float64) float64 {
	n, room := t.note(row, widths, k)
	if n.text == "" {
		return 0
	}
	return n.height(d, room, k) + k
}

func (t table) headHeight(d *typeset.Document, widths []float64, k float64) float64 {
	h := 0.0
	for i, c := range t.columns {
		h = max(h, typeset.Height(len(d.Setting().Wrap(c.head, t.head(k), widths[i]-2*cellPad*k)), t.head(k).Size))
	}
	return h
}

func (t table) height(d *typeset.Document, width, k float64) float64 {
	widths := t.widths(d, width-t.side(k), k)
	h := t.headHeight(d, widths, k)
	for i, r := range t.rows {
		h += t.rowHeight(d, r, widths, k) + t.noteHeight(d, i, widths, k)
	}
	return h
}

func (t table) draw(d *typeset.Document, at typeset.Box, k float64) {
	side := t.side(k)
	widths := t.widths(d, at.W-side, k)
	y, h := at.Y, t.headHeight(d, widths, k)
	inner := func(x float64, i int) typeset.Box {
		return typeset.Box{X: x + cellPad*k, Y: y, W: widths[i] - 2*cellPad*k, H: h}
	}
	x := at.X + side
	for i, c := range t.columns {
		align := typeset.Left
		if c.right {
			align = typeset.Right
		}
		d.Lines(d.Setting().Wrap(c.head, t.head(k), inner(x, i).W), t.head(k), inner(x, i), align)
		x += widths[i]
	}
	for n, r := range t.rows {
		y += h
		h = t.rowHeight(d, r, widths, k)
		d.Pen(0.4)
		d.Line(at.X, y, at.X+at.W, y)
		if n < len(t.pictures) && t.pictures[n] != nil {
			d.Picture(t.pictures[n], typeset.Box{X: at.X, Y: y + 1.5*k, W: side, H: side})
		}
		x := at.X + side
		for i, text := range r {
			b := inner(x, i)
			b.Y += 2 * k
			t.cell(text, i).draw(d, b, k)
			x += widths[i]
		}
		if note, room := t.note(n, widths, k); note.text != "" {
			y += h
			h = t.noteHeight(d, n, widths, k)
			x = at.X + at.W - room - cellPad*k
			note.draw(d, typeset.Box{X: x, Y: y, W: room, H: h}, k)
		}
	}
}
