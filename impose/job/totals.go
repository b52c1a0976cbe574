package job

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"quoin/impose/say"
)

// Sales systems close a list with its sum, and people print that sum as if it
// were an order. A row is taken for one where its first word says so, or where
// it has no number of an order and its quantity is the sum of those above, and
// where it says nothing that only an order says.

// sums are the words that begin such rows, in small letters.
var sums = strings.Fields(`total totals subtotal sum summe gesamt gesamtsumme gesamtmenge zwischensumme endsumme
	totale totali somme total-général sous-total suma razem łącznie totaal subtotaal summa yhteensä i-alt ialt celkem spolu
	összesen toplam итого всего σύνολο 合計 小計 总计 合计 grand-total somma skupaj ukupno kokku kopā viso ergebnis gesamtergebnis teilergebnis eindtotaal celkový`)

// totals adds up the quantities of a list's rows.
type totals struct {
	sum, rows int64
	open      bool // a quantity could not be read
}

func (t *totals) add(n int64) {
	t.rows++
	if t.sum += n; n == 0 {
		t.open = true
	}
}

// rowCount returns what a row says as its quantity; 0 where that is no count.
func (c *collector[T]) rowCount(r row, columns []column) int64 {
	for i, x := range r.cells {
		if i < len(columns) && columns[i].field >= 0 && c.kind.table[columns[i].field].key == "quantity" {
			v := value{reader: c.reader, text: strings.TrimSpace(x.text)}.ungrouped()
			n, err := wholeNumber(v.text, 1, maxQuantity)
			if err != nil {
				return 0
			}
			return n
		}
	}
	return 0
}

// isTotal reports whether a row sums up those above it, and says so. A sum that
// differs from that of the rows is the sign that some are missing.
func (c *collector[T]) isTotal(r row, columns []column, t *totals) bool {
	name, first, others := "", "", false
	for i, x := range r.cells {
		text := strings.TrimSpace(x.text)
		if text == "" {
			continue
		}
		first = cmp.Or(first, text)
		if i >= len(columns) || columns[i].field < 0 {
			continue
		}
		switch key := c.kind.table[columns[i].field].key; {
		case key == c.kind.id:
			name = text
		case key != "quantity" && text != first && strings.ContainsFunc(text, unicode.IsLetter):
			others = true
		case key == "artwork" || key == "label" || key == "flags" || key == "die":
			others = true
		}
	}
	n := c.rowCount(r, columns)
	word, _, _ := strings.Cut(strings.TrimRight(strings.TrimLeft(say.Fold(first), "*=- "), ":.*=- "), ":")
	begins := slices.Contains(sums, word) || slices.Contains(sums, strings.SplitN(word, "-", 2)[0])
	if others || !(begins && (name == "" || name == first) || name == "" && n > 0 && n == t.sum && t.rows > 1) {
		return false
	}
	text := "a sum, not an order: passed over"
	if n > 0 && !t.open {
		text = "a sum of " + say.Number(n) + ", not an order: passed over"
		if n != t.sum {
			text += ", though the rows above it order " + say.Number(t.sum) + ": none may be missing, or be twice"
		}
	}
	c.reader.word(place{r.line, 1}, text, "")
	return true
}
