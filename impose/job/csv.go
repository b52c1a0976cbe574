package job

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"quoin/impose/say"
)

// readCSV reads RFC 4180 with a row of names first, cells parted by commas,
// semicolons, tabs or bars. Lines that begin with # stand before the names only:
// behind them, a # is part of a cell.
func (c *collector[T]) readCSV() {
	in := c.rows()
	columns, names, ok := c.header(in)
	if !ok {
		return
	}
	c.partial = len(c.reader.faults) > 0
	c.found = []T{}
	in.width = len(columns)
	c.reader.marks = c.meaning(*in, columns, in.comma == ',')
	var sum totals
	for !c.reader.full() {
		r, ok := in.read()
		if !ok {
			break
		}
		if c.reader.hiddenRow(r.line) && r.bad == nil && !r.blank() {
			r.bad = &badRow{place{r.line, 1}, "the row is hidden, and not taken", "show it, or delete it"}
		}
		switch {
		case r.bad != nil:
			if c.reader.orders && r.bad.text == notUTF8 {
				r.bad.hint += ", or say with --encoding what it is in"
			}
			c.readRow(r, columns)
		case r.blank():
		case r.says(names):
			c.reader.word(place{r.line, 1}, "the names of the columns stand here again and are passed over", "")
		case c.kind.extra && c.isTotal(r, columns, &sum):
		default:
			sum.add(c.rowCount(r, columns))
			c.readRow(r, columns)
		}
	}
}

const maxColumns = 1000

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
// capitals, spaces and underscores, or be those that the job file says. Columns
// that no field has are ignored with a word where the kind of file may have more
// than is asked of it.
func (c *collector[T]) columns(names row) []column {
	known := keysOf(c.kind.table)
	out := make([]column, len(names.cells))
	var fields, extra []int
	for i, x := range names.cells {
		name := strings.ToValidUTF8(x.text, "\ufffd")
		out[i] = column{slices.Index(known, c.reader.form.ours(name)), name}
		switch {
		case strings.TrimSpace(name) == "":
			out[i].field = nameless
		case out[i].field < 0:
			out[i].field = unknown
			extra = append(extra, i)
		case slices.Contains(fields, out[i].field):
			c.reader.faultAt(c.cellPlace(x), say.Fold(name), "the column "+known[out[i].field]+" is here twice", "keep one of the two")
		}
		fields = append(fields, out[i].field)
	}
	c.missingColumns(names, fields)
	ignored := c.kind.extra && len(c.reader.faults) == 0
	for _, i := range extra {
		at, quoted := c.cellPlace(names.cells[i]), strconv.Quote(shortened(out[i].name))
		near := say.Nearest(out[i].name, known)
		switch {
		case !ignored:
			c.reader.fault(at, "", quoted+" is no column here", meant(out[i].name, known))
		case near == "" || slices.Contains(fields, slices.Index(known, near)):
			c.reader.word(at, "the column "+quoted+" is ignored", "")
		default:
			c.reader.word(at, "the column "+quoted+" is not known and is ignored", "did you mean "+near+"?")
		}
	}
	return out
}

// missingColumns faults columns that the table needs or the job file names, and
// that the file doesn't have.
func (c *collector[T]) missingColumns(names row, fields []int) {
	var there []string
	for _, x := range names.cells {
		if s := strings.TrimSpace(strings.ToValidUTF8(x.text, "\ufffd")); s != "" && len(there) < 20 {
			there = append(there, strconv.Quote(shortened(s)))
		}
	}
	for i, f := range c.kind.table {
		said := c.reader.form.Columns[f.key]
		if slices.Contains(fields, i) || !f.need && said == "" {
			continue
		}
		hint := ""
		switch {
		case said != "":
			hint = "the file's columns are " + strings.Join(there, ", ")
		case c.kind.extra && len(there) > 1:
			hint = fmt.Sprintf("if the file calls it otherwise, say so in the job file: orders: {columns: {%s: NAME}}; its columns are %s", f.key, strings.Join(there, ", "))
		}
		c.reader.faultAt(place{names.line, 1}, f.key, "the column "+c.reader.form.theirs(f.key)+" is missing", hint)
	}
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
			c.reader.fault(r.bad.place, "", r.bad.text, r.bad.hint)
			return
		}
		for _, n := range columns[min(len(r.cells), len(columns)):] {
			if n.field >= 0 && c.kind.table[n.field].need {
				key := c.kind.table[n.field].key
				c.reader.fault(whole.at, key, missing, inColumn)
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
			v.fault(strconv.Quote(shortened(v.text))+" stands in a column without a name", "name the column in the header, or empty the cell")
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
	if why, hint := c.reader.trouble(v.at); v.text == "" && why != "" {
		v.fault(why, hint)
		return
	}
	switch {
	case sheetError().MatchString(v.text):
		v.fault("holds the spreadsheet's error "+v.text, "mend the formula, or write the value")
	case !slices.Contains(nothings, say.Fold(v.text)):
		v.note()
		f.read(x, v)
	case f.need:
		v.fault(missing, inColumn)
	}
}

const inColumn = "write it into its column"

// What exports write into a cell that holds nothing.
var nothings = []string{"", "-", "–", "—", "null", "(null)", "<null>", "n/a"}

// What spreadsheets write where a formula failed, in English and in German.
var sheetError = pattern(`^#(?:REF|VALUE|NAME|NULL|NUM|DIV/0|N/A|NV|BEZUG|WERT|ZAHL|SPILL|CALC|FIELD)[!?]?$`)

// cellPlace returns where a cell stands.
func (c *collector[T]) cellPlace(x cell) place {
	return place{x.line, c.reader.characters(x.line, x.col)}
}
