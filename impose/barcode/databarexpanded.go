package barcode

import (
	"strconv"
	"strings"

	"quoin/impose/checkdigit"
	"quoin/impose/say"
)

// expandedGroups are of the characters of 17 modules.
var expandedGroups = []barGroup{{0, 4, 12, 7}, {348, 20, 10, 5}, {1388, 52, 8, 4}, {2948, 104, 6, 3}, {3988, 204, 4, 1}}

// expandedFinders are A to F as they stand, and expandedRows which of them a
// symbol of so many finders has: capitals are turned about.
var (
	expandedFinders = [6][5]uint8{{1, 8, 4, 1, 1}, {3, 6, 4, 1, 1}, {3, 4, 6, 1, 1}, {3, 2, 8, 1, 1}, {2, 6, 5, 1, 1}, {2, 2, 9, 1, 1}}
	expandedRows    = []string{"", "", "aA", "aBb", "aCbD", "aEbDc", "aEbDdF", "aEbDeFf", "aAbBcCdD", "aAbBcCdEe", "aAbBcCdEfF", "aAbBcDdEeFf"}
)

func expandedChar(value int) [8]uint8 {
	g, v := groupOf(expandedGroups, value)
	return woven(elementWidths(v/g.share, g.odd, 4, g.widest, false), elementWidths(v%g.share, 17-g.odd, 4, 9-g.widest, true), 4)
}

// encodeExpanded makes a DataBar Expanded of element strings.
func (e *Encoder) encodeExpanded(data []byte) error {
	for _, c := range data {
		if c != separator && !isDigit(c) && (c < 'A' || c > 'Z') && (c < 'a' || c > 'z') && strings.IndexByte(isoMarks, c) < 0 {
			return say.Refuse(say.Failed, "take a gs1-data-matrix", "a DataBar Expanded has no %q", c)
		}
	}
	bits, err := expandedBits(data)
	if err != nil {
		return err
	}
	chars := len(bits) / 12
	finders := expandedRows[(chars+2)/2]
	const modulus = 211
	sum := 0
	widths := make([][8]uint8, chars)
	for i := range widths {
		value, _ := strconv.ParseInt(bits[12*i:12*i+12], 2, 16) // twelve digits of two
		widths[i] = expandedChar(int(value))
		// Characters stand at the right of the first finder, then at the left and
		// the right of each.
		f := finders[(i+1)/2]
		row := 4*int(f-'a') - 1
		if f < 'a' {
			row = 4*int(f-'A') + 1
		}
		if i%2 == 0 {
			row++
		}
		for j, w := range widths[i] {
			sum = (sum + power3(8*row+j, modulus)*int(w)) % modulus
		}
	}
	check := expandedChar(modulus*(chars+1-4) + sum)
	bars := append(e.symbol.Bars[:0], 1) // behind a space
	bars = append(bars, check[:]...)
	for i, f := range finders {
		if i > 0 {
			bars = append(bars, widths[2*i-1][:]...)
		}
		if f < 'a' {
			bars = appendTurned(bars, expandedFinders[f-'A'][:])
		} else {
			bars = append(bars, expandedFinders[f-'a'][:]...)
		}
		if 2*i < chars {
			bars = appendTurned(bars, widths[2*i][:])
		}
	}
	bars = append(bars, 1, 1)
	if len(bars)%2 == 0 {
		bars = bars[:len(bars)-1] // a space at the end
	}
	e.symbol.Bars = bars
	return nil
}

func power3(n, modulus int) int {
	p := 1
	for range n {
		p = p * 3 % modulus
	}
	return p
}

// mostExpanded is how many characters of 12 bits a symbol holds.
const mostExpanded = 21

// expandedBits writes data with separators as bits, a whole number of characters.
// Numbers of trade items that stand first take 44 bits (encodation method 1); the
// shorter methods for weights and prices are left out, so that such symbols are
// longer than they need be, and say the same.
func expandedBits(data []byte) (string, error) {
	head, packed := "000", ""
	rest := data
	if len(data) >= 16 && data[0] == '0' && data[1] == '1' && checkdigit.GS1.Verify(string(data[2:16])) == nil {
		head = "01"
		packed = fixedBits(int(data[2]-'0'), 4)
		for i := 3; i < 15; i += 3 {
			n, _ := strconv.Atoi(string(data[i : i+3])) // Verify saw digits
			packed += fixedBits(n, 10)
		}
		rest = data[16:]
	}
	w := expandedWriter{before: len(head) + 2 + len(packed)}
	w.write(rest)
	total := max(3, (w.before+len(w.bits)+11)/12)
	if total > mostExpanded {
		return "", say.Refuse(say.Failed, "shorten the data, or take a gs1-data-matrix", "%d bytes are more than a DataBar Expanded holds", len(data))
	}
	length := fixedBits((total+1)%2, 1) + "0"
	if total+1 > 14 {
		length = length[:1] + "1"
	}
	bits := head + length + packed + w.bits
	pad := "00100"
	if w.mode == numericMode && len(rest) > 0 {
		pad = "0000"
	}
	for len(bits) < 12*total {
		bits, pad = bits+pad, "00100"
	}
	return bits[:12*total], nil
}

func fixedBits(v, n int) string {
	s := strconv.FormatInt(int64(v)|1<<n, 2)
	return s[1:]
}
