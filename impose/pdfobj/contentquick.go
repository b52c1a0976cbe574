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

// quickNumbers are operands that are not yet taken as such.
type quickNumbers struct {
	values [mostQuick]float64
	points [mostQuick]bool // which of them were written with a point
}

const mostQuick = 128

// quick adds operands to the operation until it meets the operator, which it
// then returns, or something that it leaves to the lexer.
func (c *ContentScanner) quick() (operator string, ok bool) {
	l, q := c.p.lexer, &c.numbers
	if len(c.p.ahead) > 0 {
		return "", false
	}
	plain := c.Plain && len(c.op.Operands) == 0
	buf, i, n := l.buf, l.pos, len(c.op.Numbers)
	for {
		for i < len(buf) && isSpace(buf[i]) {
			i++
		}
		if plain {
			i, n = c.short(buf, i, n)
		}
		if i == len(buf) || buf[i] >= 'A' || n == mostQuick || len(c.op.Operands) >= maxOperands {
			break
		}
		number := quickNumber(buf[i:])
		if number.length == 0 {
			break
		}
		i += number.length
		if plain {
			q.values[n], q.points[n] = number.value, number.point
			n++
		} else {
			c.op.Operands = append(c.op.Operands, number.object())
		}
	}
	l.pos = i
	if c.op.Numbers = nil; n > 0 {
		c.op.Numbers = q.values[:n]
	}
	if i < len(buf) && buf[i] >= 'A' {
		return c.quickOperator()
	}
	return "", false
}

// unplain makes operands of the numbers, for an operation that has others too.
func (c *ContentScanner) unplain() {
	for i, v := range c.op.Numbers {
		c.op.Operands = append(c.op.Operands, plainNumber{value: v, point: c.numbers.points[i]}.object())
	}
	c.op.Numbers = nil
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

// short reads numbers of up to seven characters as quickNumber does, but all the
// characters of each at once, and the operators of a path between them, if there are
// to be Paths. There are n numbers already. It returns where what it doesn't know
// begins, and how many numbers there are then.
func (c *ContentScanner) short(buf []byte, i, n int) (int, int) {
	const each, highest = 0x0101010101010101, 0x8080808080808080
	q, paths := &c.numbers, c.Paths
	for i >= 0 && i <= len(buf)-8 && uint(n) < mostQuick {
		text := binary.LittleEndian.Uint64(buf[i:])
		if byte(text) >= 'A' {
			if !paths || !isSpace(byte(text>>8)) || !c.op.Path.addSegment(byte(text), q, n) {
				break
			}
			i, n = i+2, 0
			continue
		}
		// What is no digit gets the highest bit of its byte, and so does what is a point.
		// Either may be wrong behind a character that is neither: nobody looks there. The
		// lowest of those behind the first one ends the number.
		digits, points := text^'0'*each, text^'.'*each
		others := (digits + (0x80-10)*each | digits) & highest
		points = (points - each) &^ points & highest
		ends := others &^ points &^ 0xff
		if ends == 0 {
			break
		}
		end := uint(bits.TrailingZeros64(ends)) &^ 7
		if !isSpace(byte(text >> (end & 63))) {
			break
		}
		negative := byte(text) == '-'
		if negative {
			digits &^= 0xff
		} else if others&^points&0x80 != 0 {
			break
		}
		// Zeros come before it, and it loses its point.
		digits <<= -end & 63
		points <<= -end & 63
		places := uint(0)
		if points != 0 {
			if points&(points-1) != 0 || end == 8 {
				break
			}
			places = uint(63-bits.TrailingZeros64(points)) / 8
			digits = digits&(points>>7-1)<<8 | digits&^(points<<1-1)
		}
		// The first digit counts most and lies lowest: pairs, fours and eights are
		// summed side by side.
		digits = digits * (1 + 10<<8) >> 8 & 0x00ff00ff00ff00ff
		digits = digits * (1 + 100<<16) >> 16 & 0x0000ffff0000ffff
		digits = digits * (1 + 10000<<32) >> 32
		v := float64(int64(digits)) / powersOfTen[places&15]
		if negative {
			if digits == 0 {
				break // see quickNumber
			}
			v = -v
		}
		q.values[n], q.points[n] = v, points != 0
		n++
		i += int(end/8) + 1
	}
	return i, n
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
		'B': {"BT", "B*"}, 'E': {"ET"}, 'R': {"RG"}, 'S': {"SC"}, 'T': {"Td", "Tm", "TD", "Tc", "Tw", "Tz", "TL", "Tr", "Ts"},
		'W': {"W*"}, 'b': {"b*"}, 'c': {"cm"}, 'f': {"f*"}, 'r': {"re", "rg"}, 's': {"sc"},
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
