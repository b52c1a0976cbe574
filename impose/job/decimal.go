package job

import (
	"regexp"
	"slices"
	"strings"
	"sync"

	"quoin/impose/say"
)

// Spreadsheets that part cells by semicolons or tabs do so where the comma is
// the decimal mark. There 50,0x75,0mm is a size, and the point, which is the
// decimal mark everywhere else in this program, still is one.
//
// In a count either mark may part thousands: 5.000 is five thousand to one
// person, and 5 to a program that writes three decimals. What one number leaves
// open another may settle: 1.500,00 and 1.250.000 can be read in one way only,
// and so can 2,5 % beside them. Where the file shows nothing, or both, the count
// is refused, but for the comma in a file that is parted by commas, which has
// always parted thousands here.

var (
	innerComma = pattern(`([0-9]),([0-9])`)
	innerPoint = pattern(`[0-9]\.[0-9]`)
	grouped    = pattern(`^[1-9][0-9]{0,2}([.,][0-9]{3})+$`)
	bySigns    = pattern(`^[1-9][0-9]{0,2}(?:(?:,[0-9]{3})+|(?:[ \x{a0}\x{202f}][0-9]{3})+)$`)
)

// pattern returns an expression that is compiled when it is first asked for.
func pattern(text string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(text) })
}

// decimals is what the marks in a table's numbers mean.
type decimals struct {
	comma  bool // in lengths and shares the comma is a decimal mark as well as the point
	group  byte // the mark that parts thousands; 0: nobody knows
	commas bool // the cells are parted by commas: without better knowledge, so are thousands
	said   bool // a person said it
}

// pointed returns the value with decimal points where the file has commas.
func (v value) pointed() value {
	if v.reader.marks.comma && v.node == nil && strings.Contains(v.text, ",") {
		v.text = innerComma().ReplaceAllString(v.text, "$1.$2")
	}
	return v
}

// ungrouped returns a count without the signs that part its thousands, and without
// decimals that are all zero. What may be read in two ways stays as it is.
func (v value) ungrouped() value {
	if v.node != nil {
		if bySigns().MatchString(v.text) && !v.quoted() {
			v.text = strings.ReplaceAll(spaced.Replace(strings.ReplaceAll(v.text, ",", "")), "_", "")
		}
		return v
	}
	if whole, decimal, ok := numberParts(spaced.Replace(unitless(v.text)), v.reader.marks); ok && strings.Trim(decimal, "0") == "" {
		v.text = whole
	}
	return v
}

// spaced writes every sign that parts thousands and is no mark as one.
var spaced = strings.NewReplacer(" ", "_", "\u00a0", "_", "\u2009", "_", "\u202f", "_", "'", "_", "’", "_")

// numberParts takes a number apart into the digits of its whole and its decimal
// part; false where it may be read in two ways, or is no such number.
func numberParts(s string, m decimals) (whole, decimal string, ok bool) {
	mark := decimalMark(s)
	if one := strings.IndexAny(s, ".,"); mark == 0 && one >= 0 && strings.Count(s, s[one:one+1]) == 1 {
		// One mark with three digits behind it: 5.000.
		switch {
		case m.group == s[one], m.group == 0 && m.commas && s[one] == ',':
		case m.said:
			mark = s[one]
		default:
			return "", "", false
		}
	}
	whole = s
	if mark != 0 {
		i := strings.LastIndexByte(s, mark)
		whole, decimal = s[:i], s[i+1:]
	}
	parts := strings.FieldsFunc(whole, func(r rune) bool { return strings.ContainsRune("_.,", r) })
	whole2 := strings.Join(parts, "")
	if whole2 == "" || strings.Trim(whole2+decimal, "0123456789") != "" {
		return "", "", false
	}
	if len(parts) > 1 {
		sign := whole[len(parts[0]) : len(parts[0])+1]
		regular := strings.Join(parts, sign) == whole && len(parts[0]) <= 3 && parts[0][0] != '0'
		for _, p := range parts[1:] {
			regular = regular && len(p) == 3
		}
		return whole2, decimal, regular
	}
	return whole2, decimal, whole2 == whole
}

// decimalMark returns the mark before a number's decimals where the number itself
// shows it: the last of two kinds, one behind spaces, or one that can't part
// thousands for its place. 0: it has none, or doesn't show it.
func decimalMark(s string) byte {
	point, comma := strings.Count(s, "."), strings.Count(s, ",")
	last := strings.LastIndexAny(s, ".,")
	switch {
	case last < 0, point+comma > 1 && (point == 0 || comma == 0):
		return 0
	case point > 0 && comma > 0, strings.Contains(s[:last], "_"), len(s)-last-1 != 3, last > 3, last == 0, s[0] == '0':
		return s[last]
	}
	return 0
}

// meaning finds what the marks in a file's numbers mean, from what is said of it
// or from its cells.
func (c *collector[T]) meaning(in rows, columns []column, commas bool) decimals {
	m := decimals{comma: !commas, commas: commas}
	switch c.reader.form.DecimalMark {
	case DecimalPoint:
		return decimals{group: ',', said: true}
	case DecimalComma:
		return decimals{comma: true, group: '.', said: true}
	}
	comma, point := false, false // is a decimal mark
	for {
		r, ok := in.read()
		if !ok {
			break
		}
		for i, x := range r.cells {
			if r.bad != nil || i >= len(columns) || columns[i].field < 0 {
				continue
			}
			switch key := c.kind.table[columns[i].field].key; {
			case slices.Contains(c.kind.decimals, key):
				comma = comma || m.comma && innerComma().MatchString(x.text)
				point = point || innerPoint().MatchString(x.text)
			case slices.Contains(c.kind.counts, key):
				s := spaced.Replace(unitless(strings.TrimSpace(x.text)))
				switch mark := decimalMark(s); {
				case strings.Trim(s, "0123456789.,_") != "":
				case mark != 0:
					comma, point = comma || mark == ',', point || mark == '.'
				default:
					comma, point = comma || strings.Count(s, ".") > 1, point || strings.Count(s, ",") > 1
				}
			}
		}
	}
	switch {
	case comma && !point:
		m.group = '.'
	case point && !comma:
		m.group = ','
	case point:
		m.commas = false
	}
	return m
}

// Words for a piece behind a count, in the languages that orders come in. None
// of them may mean a thousand, a roll or a sheet.
var pieces = strings.Fields(`pcs pc piece pieces pce each ea unit units label labels
	st stk stck stueck stück etikett etiketten etiquette etiquettes étiquette étiquettes pièce pièces piece(s) etiqueta etiquetas
	etichetta etichette pz pezzi pezzo ud uds unidad unidades un stuks szt sztuk ks db kpl шт`)

// unitless returns a count without the word for pieces behind it.
func unitless(text string) string {
	i := strings.LastIndexAny(text, "0123456789")
	if i < 0 || i == len(text)-1 {
		return text
	}
	word := strings.TrimSuffix(say.Fold(strings.Trim(text[i+1:], " \u00a0\u202f\t")), ".")
	if slices.Contains(pieces, word) {
		return text[:i+1]
	}
	return text
}
