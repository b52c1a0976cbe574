package job

import (
	"regexp"
	"slices"
	"strings"
	"sync"
)

// Spreadsheets that part cells by semicolons or tabs do so where the comma is
// the decimal mark. There 50,0x75,0mm is a size, and the point, which is the
// decimal mark everywhere else in this program, still is one.
//
// In a count the point may part thousands: 5.000 is five thousand to a person,
// and 5 to a program that writes three decimals. It is read as thousands only
// where the file itself shows what its marks mean, with a decimal comma and no
// decimal point in sizes and percentages; otherwise the count is refused.

var (
	innerComma = pattern(`([0-9]),([0-9])`)
	innerPoint = pattern(`[0-9]\.[0-9]`)
	grouped    = pattern(`^[1-9][0-9]{0,2}([.,][0-9]{3})+$`)
	bySigns    = pattern(`^[1-9][0-9]{0,2}(?:(?:,[0-9]{3})+|(?:[ \x{a0}\x{202f}][0-9]{3})+)$`)
	byPoints   = pattern(`^[1-9][0-9]{0,2}(\.[0-9]{3})+$`)
)

// pattern gives an expression that is compiled when it is first asked for.
func pattern(text string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(text) })
}

// pointed gives the value with decimal points where the file has commas.
func (v value) pointed() value {
	if v.reader.decimalComma && v.node == nil && strings.Contains(v.text, ",") {
		v.text = innerComma().ReplaceAllString(v.text, "$1.$2")
	}
	return v
}

// ungrouped gives a count without the signs that part its thousands: commas or
// spaces, as in 10,000 and 10 000, and points where the file shows that they do.
// Where the comma is the decimal mark it parts no thousands.
func (v value) ungrouped() value {
	if bySigns().MatchString(v.text) && !v.quoted() && !(v.reader.decimalComma && strings.Contains(v.text, ",")) {
		v.text = strings.NewReplacer(",", "", " ", "", "\u00a0", "", "\u202f", "").Replace(v.text)
	}
	if v.reader.thousandsPoint && v.node == nil && byPoints().MatchString(v.text) {
		v.text = strings.ReplaceAll(v.text, ".", "")
	}
	return v
}

// pointsPartThousands looks through the rows for what the file's marks mean.
func (c *collector[T]) pointsPartThousands(in rows, columns []column) bool {
	comma, point := false, false
	for {
		r, ok := in.read()
		if !ok {
			return comma && !point
		}
		for i, x := range r.cells {
			if r.bad == nil && i < len(columns) && columns[i].field >= 0 && slices.Contains(c.kind.decimals, c.kind.table[columns[i].field].key) {
				comma = comma || innerComma().MatchString(x.text)
				point = point || innerPoint().MatchString(x.text)
			}
		}
	}
}
