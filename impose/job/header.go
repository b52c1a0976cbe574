package job

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"quoin/impose/say"
)

// mostBefore is how many rows of titles may stand above the names.
const mostBefore = 30

// rows begins to read the file's table, whose cells are parted by what the file
// says, or by that with which a row has all names that are needed.
func (c *collector[T]) rows() *rows {
	in := &rows{reader: c.reader, comma: separator(c.reader.text), next: 1}
	if c.reader.sheet {
		in.comma = '\t'
		return in
	}
	for n := 1; n <= len(c.reader.starts); n++ {
		line := strings.Trim(strings.TrimSpace(in.line(n)), `"`)
		if line == "" || line[0] == '#' {
			continue
		}
		if rest, ok := strings.CutPrefix(line, "sep="); ok && len(rest) == 1 {
			in.comma, in.next = rest[0], n+1
			return in
		}
		break
	}
	if !c.kind.extra {
		return in
	}
	for _, comma := range []byte{in.comma, ';', '\t', ',', '|'} {
		try := *in
		try.comma = comma
		if _, _, ok := c.named(&try); ok {
			in.comma = comma
			break
		}
	}
	return in
}

// named looks for the row of names: the first of the first rows in which all
// columns stand that are needed, or that which a person says. in is left behind
// it. Where none is, ok is false.
func (c *collector[T]) named(in *rows) (names row, before int, ok bool) {
	if c.reader.form.Header > 0 {
		in.next = c.reader.form.Header
	}
	for ; before < mostBefore; before++ {
		names, ok = in.read()
		for ok && strings.HasPrefix(in.line(names.line), "#") {
			names, ok = in.read()
		}
		if !ok || c.reader.form.Header > 0 && before > 0 {
			return names, before, false
		}
		have := map[string]bool{}
		for _, x := range names.cells {
			have[c.reader.form.ours(x.text)] = true
		}
		if !slices.ContainsFunc(c.kind.table, func(f field[T]) bool { return f.need && !have[f.key] }) {
			return names, before, true
		}
	}
	return names, before, false
}

// header reads the row of names and gives each column's field; false when
// there are no columns to go on with.
func (c *collector[T]) header(in *rows) ([]column, row, bool) {
	for strings.HasPrefix(in.line(in.next), "#") {
		in.next++
	}
	first := *in
	names, before, ok := row{}, 0, false
	if c.kind.extra {
		names, before, ok = c.named(in)
	}
	if !ok { // say what is wrong with the first row
		if *in = first; c.reader.form.Header > 0 {
			in.next = c.reader.form.Header
		}
		names, ok = in.read()
		for ok && strings.HasPrefix(in.line(names.line), "#") {
			names, ok = in.read()
		}
		before = 0
	}
	switch {
	case !ok:
		c.reader.fault(place{1, 1}, "", "the file is empty",
			"the first line holds the columns' names: "+strings.Join(keysOf(c.kind.table), ", "))
		return nil, names, false
	case names.bad != nil && !(c.kind.extra && onlyForeign(in.line(names.line))):
		c.reader.fault(names.bad.place, "", names.bad.text, names.bad.hint)
		return nil, names, false
	case len(names.cells) > maxColumns:
		c.reader.fault(place{1, 1}, "", fmt.Sprintf("%d columns are more than any such file has", len(names.cells)), "")
		return nil, names, false
	case before > 0:
		c.reader.word(place{names.line, 1}, say.Count(before, "line")+" above the columns' names: not read", "")
	}
	return c.columns(names), names, true
}

// onlyForeign reports whether a line is text in another encoding, in which the
// names that matter read the same.
func onlyForeign(line string) bool {
	return !strings.Contains(line, `"`) && !strings.ContainsFunc(line, func(r rune) bool { return r != '\t' && unicode.IsControl(r) })
}

// blank reports whether a row says nothing: exports fill unused rows with signs
// that stand for nothing, and with the zeros of their formulas.
func (r row) blank() bool {
	return !slices.ContainsFunc(r.cells, func(x cell) bool {
		text := say.Fold(x.text)
		return !slices.Contains(nothings, text) && strings.Trim(text, "0.,") != ""
	})
}

// says reports whether a row says the same as another, as the names do that are
// printed again on every page of a list.
func (r row) says(other row) bool {
	return len(other.cells) > 1 && slices.EqualFunc(r.cells, other.cells, func(a, b cell) bool { return strings.TrimSpace(a.text) == strings.TrimSpace(b.text) })
}
