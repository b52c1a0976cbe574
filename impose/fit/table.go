package fit

import (
	"cmp"
	"strings"
	"unicode/utf8"

	"quoin/impose/say"
)

// table is what layouts and options are listed in.
type table struct {
	head, units []string
	rows        [][]string
	longest     int // of the names, longestName if 0
}

// addColumn adds a column; its cells are for the rows.
func (t *table) addColumn(head, unit string) {
	t.head, t.units = append(t.head, head), append(t.units, unit)
}

// longestName keeps a table in its columns whatever dies are called.
const longestName = 14

func (t *table) print(b *strings.Builder) {
	out := say.Table{Right: true}
	for _, row := range append([][]string{t.head, t.units}, t.rows...) {
		row[0] = say.Shortened(row[0], cmp.Or(t.longest, longestName))
		out.Add(row...)
	}
	for _, line := range out.Lines() {
		b.WriteString(line + "\n")
	}
}

// wrapped prints text behind a first indent, its other lines under the text's
// begin.
func wrapped(b *strings.Builder, indent, text string) {
	under := strings.Repeat(" ", min(utf8.RuneCountInString(indent), 20))
	line := indent
	start := true
	for _, word := range strings.Fields(text) {
		if !start && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > Columns {
			b.WriteString(line + "\n")
			line, start = under, true
		}
		if !start {
			line += " "
		}
		line += word
		start = false
	}
	b.WriteString(line + "\n")
}
