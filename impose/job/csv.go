package job

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// readCSV reads RFC 4180 with a row of names first, cells parted by commas or,
// as some spreadsheets write them, by semicolons. Lines that begin with # stand
// before the names only: behind them, a # is part of a cell.
func (c *collector[T]) readCSV() {
	if !c.readable() {
		return
	}
	rows := csv.NewReader(strings.NewReader(c.text))
	rows.Comma = separator(c.text)
	rows.Comment = '#'
	rows.FieldsPerRecord = -1
	columns, ok := c.header(rows)
	if !ok {
		return
	}
	c.partial = len(c.faults) > 0
	for !c.full() {
		cells, err := rows.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			c.badRow(err)
			continue
		}
		if slices.ContainsFunc(cells, func(s string) bool { return strings.TrimSpace(s) != "" }) {
			c.readRow(cells, columns, rows)
		}
	}
}

// header reads the row of names and gives each column's field; false when
// there are no columns to go on with.
func (c *collector[T]) header(rows *csv.Reader) ([]int, bool) {
	names, err := rows.Read()
	rows.Comment = 0
	switch {
	case err == io.EOF:
		c.fault(place{1, 1}, "", "the file is empty",
			"the first line holds the columns' names: "+strings.Join(keysOf(c.kind.table), ", "))
		return nil, false
	case err != nil:
		c.badRow(err)
		return nil, false
	case len(names) > maxColumns:
		c.fault(place{1, 1}, "", fmt.Sprintf("%d columns are more than any such file has", len(names)), "")
		return nil, false
	}
	return c.columns(names, rows), true
}

const maxColumns = 1000

// What a column is when it is no field of the table.
const (
	nameless = -1 - iota
	unknown
)

// columns finds each column's field in the table. Names may be written with
// capitals, spaces and underscores.
func (c *collector[T]) columns(names []string, rows *csv.Reader) []int {
	known := keysOf(c.kind.table)
	out := make([]int, len(names))
	for i, name := range names {
		out[i] = slices.Index(known, fold(name))
		at := c.cellPlace(rows, i)
		switch {
		case strings.TrimSpace(name) == "":
			out[i] = nameless
		case out[i] >= 0 && slices.Contains(out[:i], out[i]):
			c.fault(at, fold(name), "the column "+known[out[i]]+" is here twice", "keep one of the two")
		case out[i] < 0:
			out[i] = unknown
			c.fault(at, "", strconv.Quote(shortened(name))+" is no column here", meant(name, known))
		}
	}
	for i, f := range c.kind.table {
		if f.need && !slices.Contains(out, i) {
			line, _ := rows.FieldPos(0)
			c.fault(place{line, 1}, f.key, "the column "+f.key+" is missing", "")
		}
	}
	return out
}

func (c *collector[T]) readRow(cells []string, columns []int, rows *csv.Reader) {
	line, _ := rows.FieldPos(0)
	row := value{reader: c.reader, at: place{line, 1}}
	c.collect(row, func(x *T) {
		for i, text := range cells {
			text = strings.TrimSpace(text)
			v := value{reader: c.reader, text: text, at: c.cellPlace(rows, i)}
			if i >= len(columns) || columns[i] < 0 {
				if text != "" && (i >= len(columns) || columns[i] == nameless) {
					v.fault(strconv.Quote(shortened(text))+" stands in a column without a name", "")
				}
				continue
			}
			f := &c.kind.table[columns[i]]
			v.key = f.key
			if text != "" {
				v.note()
				f.read(x, v)
			} else if f.need {
				v.fault("is missing", "")
			}
		}
		for _, n := range columns[min(len(cells), len(columns)):] {
			if n >= 0 && c.kind.table[n].need {
				row.missing(c.kind.table[n].key)
			}
		}
	})
}

// cellPlace gives where a cell of the row that was read last stands.
func (c *collector[T]) cellPlace(rows *csv.Reader, i int) place {
	line, col := rows.FieldPos(i)
	return place{line, c.characters(line, col)}
}

// badRow explains what the CSV reader could not take.
func (c *collector[T]) badRow(err error) {
	e, ok := errors.AsType[*csv.ParseError](err)
	if !ok {
		c.fault(place{1, 1}, "", err.Error(), "")
		return
	}
	c.fault(place{e.Line, c.characters(e.Line, e.Column)}, "", "is not CSV: "+e.Err.Error(),
		`put a cell that holds a quote in quotes, and write each quote inside it twice, as in "3"" core"`)
}

// separator gives the comma or the semicolon, whichever the first line that is
// neither blank nor a comment holds more of.
func separator(text string) rune {
	for line := range strings.Lines(text) {
		if s := strings.TrimSpace(line); s != "" && s[0] != '#' {
			if strings.Count(s, ";") > strings.Count(s, ",") {
				return ';'
			}
			return ','
		}
	}
	return ','
}
