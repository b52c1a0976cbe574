package pdfobj

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
	for len(c.p.ahead) == 0 && len(c.op.Operands) < maxOperands {
		buf, i := l.buf, l.pos
		for i < len(buf) && isSpace(buf[i]) {
			i++
		}
		l.pos = i
		if i == len(buf) {
			return "", false
		}
		b := buf[i]
		if b >= 'A' && b <= 'z' {
			return c.quickOperator()
		}
		if !c.quickNumber() {
			return "", false
		}
	}
	return "", false
}

// quickNumber reads a number of digits with at most one sign and one point.
func (c *ContentScanner) quickNumber() bool {
	l := c.p.lexer
	buf, i := l.buf, l.pos
	negative := buf[i] == '-'
	if negative {
		i++
	}
	var whole int64
	digits, point := 0, -1
	for ; i < len(buf); i++ {
		b := buf[i]
		if b >= '0' && b <= '9' {
			whole = whole*10 + int64(b-'0')
			digits++
			if digits > maxQuick {
				return false
			}
			continue
		}
		if b != '.' || point >= 0 {
			break
		}
		point = digits
	}
	// Only white space ends a number for certain: "1e5", "1-2" and "1rg" are
	// for the lexer.
	if digits == 0 || i == len(buf) || !isSpace(buf[i]) {
		return false
	}
	if negative {
		whole = -whole
	}
	if point < 0 {
		c.op.Operands = append(c.op.Operands, Integer(whole))
	} else {
		v := float64(whole) / powersOfTen[digits-point]
		if negative && whole == 0 {
			return false // the lexer knows what becomes of -0.0
		}
		c.op.Operands = append(c.op.Operands, Real(v))
	}
	l.pos = i
	return true
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
