package job

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"quoin/impose/say"
)

// readCSV reads RFC 4180 with a row of names first, cells parted by commas,
// semicolons or tabs. Lines that begin with # stand before the names only:
// behind them, a # is part of a cell.
func (c *collector[T]) readCSV() {
	in := &rows{reader: c.reader, comma: separator(c.text), next: 1}
	columns, ok := c.header(in)
	if !ok {
		return
	}
	c.partial = len(c.faults) > 0
	c.found = []T{}
	in.width = len(columns)
	if in.comma != ',' {
		c.decimalComma = true
		c.thousandsPoint = c.pointsPartThousands(*in, columns)
	}
	for !c.full() {
		r, ok := in.read()
		if !ok {
			break
		}
		if r.bad != nil || slices.ContainsFunc(r.cells, func(x cell) bool { return strings.TrimSpace(x.text) != "" }) {
			c.readRow(r, columns)
		}
	}
}

// header reads the row of names and gives each column's field; false when
// there are no columns to go on with.
func (c *collector[T]) header(in *rows) ([]column, bool) {
	for strings.HasPrefix(in.line(in.next), "#") {
		in.next++
	}
	names, ok := in.read()
	for ok && strings.HasPrefix(in.line(names.line), "#") {
		names, ok = in.read()
	}
	switch {
	case !ok:
		c.fault(place{1, 1}, "", "the file is empty",
			"the first line holds the columns' names: "+strings.Join(keysOf(c.kind.table), ", "))
		return nil, false
	case names.bad != nil && !(c.kind.extra && onlyForeign(in.line(names.line))):
		c.fault(names.bad.place, "", names.bad.text, names.bad.hint)
		return nil, false
	case len(names.cells) > maxColumns:
		c.fault(place{1, 1}, "", fmt.Sprintf("%d columns are more than any such file has", len(names.cells)), "")
		return nil, false
	}
	return c.columns(names), true
}

const maxColumns = 1000

// onlyForeign reports whether a line is text in another encoding, in which the
// names that matter read the same.
func onlyForeign(line string) bool {
	return !strings.Contains(line, `"`) && !strings.ContainsFunc(line, func(r rune) bool { return r != '\t' && unicode.IsControl(r) })
}

// column is what a column of the file is: a field of the table, or one of the
// two below.
type column struct {
	field int
	name  string
}

const (
	nameless = -1 - iota
	unknown
)

// columns finds each column's field in the table. Names may be written with
// capitals, spaces and underscores. Columns that no field has are ignored with
// a word where the kind of file may have more than is asked of it.
func (c *collector[T]) columns(names row) []column {
	known := keysOf(c.kind.table)
	out := make([]column, len(names.cells))
	var fields, extra []int
	for i, x := range names.cells {
		name := strings.ToValidUTF8(x.text, "\ufffd")
		out[i] = column{slices.Index(known, say.Fold(name)), name}
		switch {
		case strings.TrimSpace(name) == "":
			out[i].field = nameless
		case out[i].field < 0:
			out[i].field = unknown
			extra = append(extra, i)
		case slices.Contains(fields, out[i].field):
			c.fault(c.cellPlace(x), say.Fold(name), "the column "+known[out[i].field]+" is here twice", "keep one of the two")
		}
		fields = append(fields, out[i].field)
	}
	for i, f := range c.kind.table {
		if f.need && !slices.Contains(fields, i) {
			c.fault(place{names.line, 1}, f.key, "the column "+f.key+" is missing", "")
		}
	}
	ignored := c.kind.extra && len(c.faults) == 0
	for _, i := range extra {
		at, quoted := c.cellPlace(names.cells[i]), strconv.Quote(shortened(out[i].name))
		near := say.Nearest(out[i].name, known)
		switch {
		case !ignored:
			c.fault(at, "", quoted+" is no column here", meant(out[i].name, known))
		case near == "" || slices.Contains(fields, slices.Index(known, near)):
			c.word(at, "the column "+quoted+" is ignored", "")
		default:
			c.word(at, "the column "+quoted+" is not known and is ignored", "did you mean "+near+"?")
		}
	}
	return out
}

func (c *collector[T]) readRow(r row, columns []column) {
	whole := value{reader: c.reader, at: place{r.line, 1}}
	c.collect(whole, func(x *T) {
		for i, one := range r.cells {
			v := value{reader: c.reader, text: strings.TrimSpace(one.text), at: c.cellPlace(one)}
			if r.bad != nil {
				c.readName(x, v, i, columns)
			} else {
				c.readCell(x, v, i, columns)
			}
		}
		if r.bad != nil {
			c.fault(r.bad.place, "", r.bad.text, r.bad.hint)
			return
		}
		for _, n := range columns[min(len(r.cells), len(columns)):] {
			if n.field >= 0 && c.kind.table[n.field].need {
				whole.missing(c.kind.table[n.field].key)
			}
		}
	})
}

// readName reads a cell of a bad row if it is the record's name, so that people
// know whose row it is.
func (c *collector[T]) readName(x *T, v value, i int, columns []column) {
	if i >= len(columns) || columns[i].field < 0 || v.text == "" || !utf8.ValidString(v.text) {
		return
	}
	if f := &c.kind.table[columns[i].field]; f.key == c.kind.id {
		v.key = f.key
		v.note()
		f.read(x, v)
	}
}

func (c *collector[T]) readCell(x *T, v value, i int, columns []column) {
	switch {
	case i >= len(columns) || columns[i].field == nameless:
		if v.text != "" {
			v.fault(strconv.Quote(shortened(v.text))+" stands in a column without a name", "")
		}
		return
	case columns[i].field == unknown:
		if c.kind.ignorable != nil && v.text != "" {
			if text, hint := c.kind.ignorable(columns[i].name, v.text); text != "" {
				v.fault(text, hint)
			}
		}
		return
	}
	f := &c.kind.table[columns[i].field]
	v.key = f.key
	if v.text != "" {
		v.note()
		f.read(x, v)
	} else if f.need {
		v.fault("is missing", "")
	}
}

// cellPlace gives where a cell stands.
func (c *collector[T]) cellPlace(x cell) place {
	return place{x.line, c.characters(x.line, x.col)}
}
