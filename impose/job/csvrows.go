package job

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// rows splits CSV (RFC 4180) into rows, each for itself: what is wrong with one
// costs no other. The standard library's reader can't do that, because a quote
// that is never closed takes the rest of the file with it.
type rows struct {
	*reader
	comma byte
	next  int // line, from 1
	width int // columns of the header; 0 before it is known
}

// row is one row of a file, or as much of it as can be told.
type row struct {
	line  int
	cells []cell
	bad   *badRow
}

// cell is a cell with its place, its column in bytes from 1.
type cell struct {
	text      string
	line, col int
}

// badRow is why a row can't be read.
type badRow struct {
	place
	text, hint string
}

// A cell of more lines is one whose quote was forgotten.
const maxCellLines = 100

const quoteHint = `put a cell that holds a quote in quotes, and write each quote inside it twice, as in "3"" core"`

// read returns the next row that isn't blank; false behind the last one.
func (r *rows) read() (row, bool) {
	for ; r.next <= len(r.starts); r.next++ {
		if strings.TrimSpace(r.line(r.next)) != "" {
			out, last := r.split(r.next)
			if out.bad != nil {
				last = r.next // whatever it seemed to take in is read for itself
			}
			r.next = last + 1
			return out, true
		}
	}
	return row{}, false
}

// split reads the row that begins in line n and gives its last line.
func (r *rows) split(n int) (out row, last int) {
	out.line, last = n, n
	s, i := r.line(n), 0
	if out.bad = r.unreadable(n); r.sheet {
		for text := range strings.SplitSeq(s, "\t") {
			out.cells = append(out.cells, cell{text, n, i + 1})
			i += len(text) + 1
		}
		return out, n
	}
	refuse := func(line, col int, text string) (row, int) {
		if out.bad == nil {
			out.bad = &badRow{place{line, r.characters(line, col)}, "is not CSV: " + text, quoteHint}
		}
		return out, last
	}
	for {
		c := cell{line: last, col: i + 1}
		if strings.HasPrefix(s[i:], `="`) {
			i++ // ="000450", as exports keep spreadsheets from dropping zeros
		}
		if strings.HasPrefix(s[i:], `"`) {
			var text strings.Builder
			for i++; ; {
				k := strings.IndexByte(s[i:], '"')
				if k < 0 {
					if last-c.line == maxCellLines || last == len(r.starts) {
						return refuse(c.line, c.col, "the quote that opens here is never closed")
					}
					text.WriteString(s[i:] + "\n")
					last++
					s, i = r.line(last), 0
					if bad := r.unreadable(last); bad != nil && out.bad == nil {
						out.bad = bad
					}
					if r.width > 1 && strings.Count(s, string(r.comma)) >= r.width-1 {
						return refuse(c.line, c.col, fmt.Sprintf("the quote that opens here takes in line %d, which looks like a row of its own", last))
					}
					continue
				}
				text.WriteString(s[i : i+k])
				if i += k + 1; !strings.HasPrefix(s[i:], `"`) {
					break
				}
				text.WriteByte('"')
				i++
			}
			if i < len(s) && s[i] != r.comma {
				return refuse(last, i+1, "text follows the quote that closes a cell")
			}
			c.text = unformula(text.String())
		} else {
			end := strings.IndexByte(s[i:], r.comma)
			if end < 0 {
				end = len(s) - i
			}
			c.text = s[i : i+end]
			if k := strings.IndexByte(c.text, '"'); k >= 0 {
				return refuse(last, i+k+1, "a quote stands inside a cell without quotes")
			}
			i += end
		}
		out.cells = append(out.cells, c)
		if i == len(s) {
			return out, last
		}
		i++
	}
}

// unformula returns the text of ="000450" where that stands in quotes once more.
func unformula(text string) string {
	if inner, ok := strings.CutPrefix(text, `="`); ok && strings.HasSuffix(inner, `"`) {
		return inner[:len(inner)-1]
	}
	return text
}

// unreadable says why a line is no plain text in UTF-8.
func (r *rows) unreadable(n int) *badRow {
	line := r.line(n)
	at, text, hint := notPlain(line)
	if text == "" {
		return nil
	}
	return &badRow{place{n, utf8.RuneCountInString(line[:at]) + 1}, text, hint}
}

// separator returns what parts the cells: the comma, or what spreadsheets write
// where the comma is the decimal mark, the semicolon or the tab, whichever the
// first line that is neither blank nor a comment holds most of.
func separator(text string) byte {
	for line := range strings.Lines(text) {
		if s := strings.TrimSpace(line); s != "" && s[0] != '#' {
			best := byte(',')
			for _, c := range []byte(";\t") {
				if strings.Count(s, string(c)) > strings.Count(s, string(best)) {
					best = c
				}
			}
			return best
		}
	}
	return ','
}
