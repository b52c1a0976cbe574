package barcode

import "strings"

// The modes of the general purpose data compaction (ISO/IEC 24724 7.2.5.5; from
// memory).
const (
	numericMode = iota
	alphaMode
	isoMode
)

// expandedWriter writes text with separators, which begin a new identifier and
// are always followed by a digit.
type expandedWriter struct {
	before int // bits
	bits   string
	mode   int
}

const (
	alphaMarks = "*,-./"
	isoMarks   = `!"%&'()*+,-./:;<=>?_ `
)

// number returns the value of a digit or of a separator.
func number(c byte) (int, bool) {
	if c == separator {
		return 10, true
	}
	return int(c - '0'), isDigit(c)
}

func (w *expandedWriter) write(data []byte) {
	for len(data) > 0 {
		switch w.mode {
		case numericMode:
			data = w.numeric(data)
		case alphaMode:
			data = w.letters(data, 6)
		default:
			data = w.letters(data, 4)
		}
	}
}

func (w *expandedWriter) numeric(data []byte) []byte {
	a, first := number(data[0])
	if first && len(data) > 1 {
		if b, second := number(data[1]); second {
			w.bits += fixedBits(11*a+b+8, 7)
			return data[2:]
		}
	}
	if first && len(data) == 1 {
		// A last digit alone takes what is left of the symbol, if that is four to
		// six bits.
		size := w.before + len(w.bits)
		if left := max(3, (size+11)/12)*12 - size; left >= 4 && left <= 6 {
			w.bits += fixedBits(a+1, 4)
		} else {
			w.bits += fixedBits(11*a+10+8, 7)
		}
		return nil
	}
	w.bits, w.mode = w.bits+"0000", alphaMode
	return data
}

// letters writes a character of the modes for letters. So many digits in a row are
// written as numbers.
func (w *expandedWriter) letters(data []byte, digits int) []byte {
	n := 0
	for n < len(data) && (isDigit(data[n]) || n > 0 && data[n] == separator) {
		n++
	}
	c := data[0]
	alpha := isDigit(c) || c >= 'A' && c <= 'Z' || strings.IndexByte(alphaMarks, c) >= 0
	switch {
	case c == separator || n >= digits || n == len(data) && n >= 4:
		w.bits, w.mode = w.bits+"000", numericMode
		return data
	case w.mode == alphaMode && !alpha:
		w.bits, w.mode = w.bits+"00100", isoMode
		return data
	case isDigit(c):
		w.bits += fixedBits(int(c-'0')+5, 5)
	case w.mode == alphaMode && c >= 'A' && c <= 'Z':
		w.bits += fixedBits(int(c)-33, 6)
	case w.mode == alphaMode:
		w.bits += fixedBits(58+strings.IndexByte(alphaMarks, c), 6)
	case c >= 'A' && c <= 'Z':
		w.bits += fixedBits(int(c)-1, 7)
	case c >= 'a' && c <= 'z':
		w.bits += fixedBits(int(c)-7, 7)
	default:
		w.bits += fixedBits(232+strings.IndexByte(isoMarks, c), 8)
	}
	return data[1:]
}
