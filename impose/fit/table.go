package fit

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// table is rows of cells, the first column to the left, the others to the
// right.
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
	widths := make([]int, len(t.head))
	lines := append([][]string{t.head, t.units}, t.rows...)
	for _, row := range lines {
		for i, cell := range row {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	longest := t.longest
	if longest == 0 {
		longest = longestName
	}
	widths[0] = min(widths[0], longest)
	for _, row := range lines {
		var line strings.Builder
		for i, cell := range row {
			if i == 0 {
				cell = shortened(cell, longest)
			}
			pad := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell))
			if i == 0 {
				line.WriteString(cell + pad)
			} else {
				line.WriteString("  " + pad + cell)
			}
		}
		b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
}

func shortened(s string, most int) string {
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most-3]) + "..."
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

// thousands prints a count in groups, as people read it.
func thousands(n int64) string {
	s := strconv.FormatInt(n, 10)
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
