package say

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Table is rows of cells in columns two spaces apart.
type Table struct {
	Right bool // all columns but the first are set to the right
	rows  [][]string
}

// Add adds a row; rows may differ in length.
func (t *Table) Add(cells ...string) { t.rows = append(t.rows, cells) }

// Lines returns the rows in their columns, without spaces at their ends.
func (t *Table) Lines() []string {
	var widths []int
	for _, row := range t.rows {
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	lines := make([]string, len(t.rows))
	for r, row := range t.rows {
		cells := make([]string, len(row))
		for i, cell := range row {
			pad := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell))
			if t.Right && i > 0 {
				cells[i] = pad + cell
			} else {
				cells[i] = cell + pad
			}
		}
		lines[r] = strings.TrimRight(strings.Join(cells, "  "), " ")
	}
	return lines
}

// Row writes a line of a report: its name in a column of the given width, then
// what is said.
func Row(w io.Writer, width int, name, format string, args ...any) {
	fmt.Fprintf(w, "%-*s%s\n", width, name, fmt.Sprintf(format, args...))
}

// Shortened cuts a text to at most so many characters, at least 3, and shows
// where by three points.
func Shortened(s string, most int) string {
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most-3]) + "..."
}
