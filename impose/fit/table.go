package fit

import (
	"cmp"
	"strconv"
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

// add adds a column; its cells are for the rows.
func (t *table) add(head, unit string) {
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

// digits prints a number with at most so many decimals and no idle noughts.
func digits(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	return s
}

func fixed(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }

// amount prints metres, minutes and money with the digits that matter.
func amount(v float64) string {
	switch {
	case v < 100:
		return fixed(v, 2)
	case v < 10_000:
		return fixed(v, 1)
	}
	return fixed(v, 0)
}
