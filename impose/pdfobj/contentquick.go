package pdfobj

import (
	"encoding/binary"
	"math/bits"
)

// Nearly all of a large content stream is plain numbers and short operators.
// quick reads those straight from the window; whatever is not plain, or
// reaches beyond the window, it leaves to the lexer.

// maxQuick is how many digits a whole number may have so that a float64 holds
// it exactly; divided by a power of ten up to 10^22 it is then rounded
// correctly, as strconv would.
const maxQuick = 15

var powersOfTen = [maxQuick + 1]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// quick adds operands to the operation until it meets the operator, which it
// then returns, or something that it leaves to the lexer.
func (c *ContentScanner) quick() (operator string, ok bool) {
	l := c.p.lexer
	if len(c.p.ahead) > 0 {
		return "", false
	}
	plain := c.Plain && len(c.op.Operands) == 0
	buf, i := l.buf, l.pos
	numbers, points := c.op.Numbers, c.points
	for len(c.op.Operands)+len(numbers) < maxOperands {
		for i < len(buf) && isSpace(buf[i]) {
			i++
		}
		if i == len(buf) || buf[i] >= 'A' && buf[i] <= 'z' {
			break
		}
		n := shortNumber(buf[i:])
		if n.length == 0 {
			n = quickNumber(buf[i:])
		}
		if n.length == 0 {
			break
		}
		i += n.length
		if plain {
			numbers, points = append(numbers, n.value), append(points, n.point)
		} else {
			c.op.Operands = append(c.op.Operands, n.object())
		}
	}
	l.pos, c.op.Numbers, c.points = i, numbers, points
	if i < len(buf) && buf[i] >= 'A' && buf[i] <= 'z' {
		return c.quickOperator()
	}
	return "", false
}

// unplain makes operands of the numbers, for an operation that has others too.
func (c *ContentScanner) unplain() {
	for i, v := range c.op.Numbers {
		c.op.Operands = append(c.op.Operands, plainNumber{value: v, point: c.points[i]}.object())
	}
	c.op.Numbers, c.points = c.op.Numbers[:0], c.points[:0]
}

// plainNumber is a number that quickNumber read.
type plainNumber struct {
	value  float64
	point  bool // it is a real one
	length int  // bytes; 0: it is for the lexer
}

func (n plainNumber) object() Object {
	if n.point {
		return Real(n.value)
	}
	return Integer(n.value)
}

// shortNumber reads a number as quickNumber does, but all of its characters at once,
// where they are at most seven behind the sign.
func shortNumber(buf []byte) plainNumber {
	if len(buf) < 9 {
		return plainNumber{}
	}
	sign := 0
	if buf[0] == '-' {
		sign = 1
	}
	// What is no digit gets the highest bit of its byte. A sum may reach into the
	// byte above where there was neither digit nor point: nobody looks there.
	const each = 0x0101010101010101
	digits := binary.LittleEndian.Uint64(buf[sign:]) ^ '0'*each
	other := (digits + (0x80-10)*each | digits) & (0x80 * each)
	end, places, point := bits.TrailingZeros64(other), 0, false
	if end < 64 && byte(digits>>((end-7)&63)) == '.'^'0' {
		point = true
		whole := uint64(1)<<((end-7)&63) - 1
		digits = digits&whole | digits>>8&^whole
		places = end
		end = bits.TrailingZeros64(other & (other - 1))
		places = (end-places)/8 - 1
	}
	length := end / 8
	count := length
	if point {
		count--
	}
	if end == 64 || count == 0 || !isSpace(buf[sign+length]) {
		return plainNumber{}
	}
	// The first digit counts most and lies lowest: pairs, fours and eights are
	// summed side by side.
	digits <<= (64 - 8*count) & 63
	digits = digits * (1 + 10<<8) >> 8 & 0x00ff00ff00ff00ff
	digits = digits * (1 + 100<<16) >> 16 & 0x0000ffff0000ffff
	digits = digits * (1 + 10000<<32) >> 32
	v := float64(digits)
	if places > 0 {
		v /= powersOfTen[places&(len(powersOfTen)-1)]
	}
	if sign > 0 {
		if digits == 0 {
			return plainNumber{} // see quickNumber
		}
		v = -v
	}
	return plainNumber{v, point, sign + length}
}

// quickNumber reads a number of digits with at most one sign and one point.
func quickNumber(buf []byte) plainNumber {
	i := 0
	negative := buf[0] == '-'
	if negative {
		i = 1
	}
	var whole uint64
	start := i
	for i < len(buf) && isDigit(buf[i]) {
		whole = whole*10 + uint64(buf[i]-'0')
		i++
	}
	digits, places, point := i-start, 0, false
	if i < len(buf) && buf[i] == '.' {
		point = true
		i++
		for start = i; i < len(buf) && isDigit(buf[i]); i++ {
			whole = whole*10 + uint64(buf[i]-'0')
		}
		places = i - start
		digits += places
	}
	// Only white space ends a number for certain: "1e5", "1-2" and "1rg" are
	// for the lexer, which also knows what becomes of -0.
	if digits == 0 || digits > maxQuick || i == len(buf) || !isSpace(buf[i]) || negative && whole == 0 {
		return plainNumber{}
	}
	v := float64(whole)
	if places > 0 {
		v /= powersOfTen[places]
	}
	if negative {
		v = -v
	}
	return plainNumber{v, point, i}
}

// The operators that fill large streams, of one letter and of two, by their
// first. The others are rare enough for the lexer, and some, such as BI, need it.
var (
	quickLetters = [256]string{
		'B': "B", 'G': "G", 'J': "J", 'K': "K", 'M': "M", 'Q': "Q", 'S': "S", 'W': "W", 'b': "b", 'c': "c", 'f': "f", 'g': "g", 'h': "h",
		'i': "i", 'j': "j", 'k': "k", 'l': "l", 'm': "m", 'n': "n", 'q': "q", 's': "s", 'v': "v", 'w': "w", 'y': "y",
	}
	quickPairs = [256][]string{
		'B': {"BT"}, 'E': {"ET"}, 'R': {"RG"}, 'S': {"SC"}, 'T': {"Td", "Tm", "TD", "Tc", "Tw", "Tz", "TL", "Tr", "Ts"},
		'c': {"cm"}, 'r': {"re", "rg"}, 's': {"sc"},
	}
)

func (c *ContentScanner) quickOperator() (op string, ok bool) {
	l := c.p.lexer
	buf, i := l.buf, l.pos
	n := 1
	if i+1 < len(buf) && isRegular(buf[i+1]) {
		n = 2
		for _, pair := range quickPairs[buf[i]] {
			if pair[1] == buf[i+1] {
				op = pair
			}
		}
	} else {
		op = quickLetters[buf[i]]
	}
	if op == "" || i+n >= len(buf) || !isSpace(buf[i+n]) {
		return "", false
	}
	l.pos = i + n
	return op, true
}
