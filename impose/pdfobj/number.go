package pdfobj

import (
	"math"
	"strconv"
)

// number reads a number (7.3.3) as readers in the field do: signs may repeat
// ("--3" is -3), a minus sign after the first digit is skipped ("4.-5" is
// 4.5), a second point ends the number, letters may follow at once ("1rg"),
// an exponent counts, and a sign or point alone is 0. An integer past 64 bits
// becomes a Real.
func (l *lexer) number() token {
	s := append(l.scratch[:0], 0) // room for the sign
	negative, point, digits := false, false, 0
	sign := true
loop:
	for {
		b, ok := l.peek()
		if !ok {
			break
		}
		switch {
		case isDigit(b):
			sign = false
			digits++
			s = append(s, b)
		case b == '.' && !point:
			sign = false
			point = true
			s = append(s, b)
		case b == '-' && sign:
			negative = true
		case b == '-':
		case b == '+' && sign:
		case (b == 'e' || b == 'E') && digits > 0 && l.exponentFollows():
			s = l.exponent(s)
			point = true
			break loop
		default:
			break loop
		}
		l.pos++
		if len(s) > maxNumber {
			// More digits than any number means: keep the magnitude out of
			// memory and read on.
			s = s[:len(s)-1]
		}
	}
	l.scratch = s
	if digits == 0 {
		return token{kind: tokenInteger}
	}
	s[0] = '+'
	if negative {
		s[0] = '-'
	}
	if !point {
		if v, err := strconv.ParseInt(string(s), 10, 64); err == nil {
			return token{kind: tokenInteger, num: v}
		}
	}
	f, _ := strconv.ParseFloat(string(s), 64)
	// PDF has no infinity: the largest number it may mean is that of 32 bits
	// (Annex C), the largest that is safe to carry on is far above.
	f = min(max(f, -math.MaxFloat32), math.MaxFloat32)
	return token{kind: tokenReal, real: f}
}

const maxNumber = 400

// exponentFollows reports whether the e at pos begins an exponent.
func (l *lexer) exponentFollows() bool {
	if l.ensure(2) && isDigit(l.buf[l.pos+1]) {
		return true
	}
	if !l.ensure(3) {
		return false
	}
	c := l.buf[l.pos+1]
	return (c == '-' || c == '+') && isDigit(l.buf[l.pos+2])
}

func (l *lexer) exponent(s []byte) []byte {
	s = append(s, 'e', l.buf[l.pos+1])
	l.pos += 2
	for n := 0; ; n++ {
		b, ok := l.peek()
		if !ok || !isDigit(b) {
			return s
		}
		if n < 8 {
			s = append(s, b)
		}
		l.pos++
	}
}
