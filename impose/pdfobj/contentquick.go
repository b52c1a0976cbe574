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

// quickOperators are those that fill large streams. The others are rare enough
// for the lexer, and some, such as BI, need it.
var quickOperators = func() (table [1 << 16]string) {
	for _, op := range []string{"m", "l", "c", "v", "y", "h", "f", "S", "s", "B", "b", "n", "W", "q", "Q", "w", "J", "j", "M", "i",
		"g", "G", "k", "K", "re", "cm", "rg", "RG", "sc", "SC", "BT", "ET", "Td", "TD", "Tm", "Tc", "Tw", "Tz", "TL", "Tr", "Ts"} {
		key := uint16(op[0])
		if len(op) == 2 {
			key |= uint16(op[1]) << 8
		}
		table[key] = op
	}
	return table
}()

func (c *ContentScanner) quickOperator() (string, bool) {
	l := c.p.lexer
	buf, i := l.buf, l.pos
	key, n := uint16(buf[i]), 1
	if i+1 < len(buf) && isRegular(buf[i+1]) {
		key |= uint16(buf[i+1]) << 8
		n = 2
	}
	if i+n >= len(buf) || !isSpace(buf[i+n]) {
		return "", false
	}
	op := quickOperators[key]
	if op == "" {
		return "", false
	}
	l.pos = i + n
	return op, true
}
