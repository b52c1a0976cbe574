package pdfobj

import (
	"errors"
	"fmt"
	"math"
	"strconv"
)

// Round rounds a computed number to six decimals: a nanometre is 0.0000028
// points. Everything that is computed, not copied, passes through here.
func Round(x float64) Real {
	return Real(math.Round(x*1e6) / 1e6)
}

// maxWriteDepth bounds direct nesting in what is written; only a direct
// object that contains itself goes deeper.
const maxWriteDepth = 1024

var errNotFinite = errors.New("a number is infinite or not a number")

// AppendObject appends the text of a direct object to buf: keys in byte
// order, numbers in the shortest form that reads back as the same value. It
// fails on numbers that are not finite, on streams, which cannot be direct,
// and on Go values that are no object.
func AppendObject(buf []byte, o Object) ([]byte, error) {
	return appendObject(buf, o, 0)
}

func appendObject(buf []byte, o Object, depth int) ([]byte, error) {
	if depth > maxWriteDepth {
		return nil, errTooDeep
	}
	var err error
	switch v := o.(type) {
	case nil:
		return append(buf, "null"...), nil
	case bool:
		return strconv.AppendBool(buf, v), nil
	case Integer:
		return strconv.AppendInt(buf, int64(v), 10), nil
	case Real:
		return AppendNumber(buf, float64(v))
	case String:
		return appendString(buf, v), nil
	case Name:
		return appendName(buf, v), nil
	case Ref:
		if v.IsZero() {
			return append(buf, "null"...), nil
		}
		buf = strconv.AppendInt(buf, int64(v.Num), 10)
		buf = append(buf, ' ')
		buf = strconv.AppendInt(buf, int64(v.Gen), 10)
		return append(buf, " R"...), nil
	case Array:
		buf = append(buf, '[')
		for i, e := range v {
			if i > 0 && needsSpace(buf, e) {
				buf = append(buf, ' ')
			}
			if buf, err = appendObject(buf, e, depth+1); err != nil {
				return nil, err
			}
		}
		return append(buf, ']'), nil
	case Dict:
		buf = append(buf, "<<"...)
		for _, key := range v.Keys() {
			if v[key] == nil {
				continue
			}
			buf = appendName(buf, key)
			if needsSpace(buf, v[key]) {
				buf = append(buf, ' ')
			}
			if buf, err = appendObject(buf, v[key], depth+1); err != nil {
				return nil, err
			}
		}
		return append(buf, ">>"...), nil
	case *Stream:
		return nil, errors.New("a stream cannot be a direct object")
	}
	return nil, fmt.Errorf("%T is no PDF object", o)
}

// needsSpace reports whether o would run into what stands before it.
func needsSpace(buf []byte, o Object) bool {
	if len(buf) == 0 || !isRegular(buf[len(buf)-1]) {
		// After "/" alone, the empty name, anything regular would join it.
		return len(buf) > 0 && buf[len(buf)-1] == '/'
	}
	switch o.(type) {
	case String, Name, Array, Dict:
		return false
	}
	return true
}

// AppendNumber appends x in the shortest decimal form that reads back as x,
// without an exponent, which PDF does not know. It fails if x is not finite.
func AppendNumber(buf []byte, x float64) ([]byte, error) {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil, errNotFinite
	}
	if x == 0 {
		return append(buf, '0'), nil // never "-0"
	}
	start := len(buf)
	buf = strconv.AppendFloat(buf, x, 'f', -1, 64)
	digits := buf[start:]
	if digits[0] == '-' {
		digits = digits[1:]
	}
	if len(digits) > 2 && digits[0] == '0' && digits[1] == '.' { // ".5" is enough
		copy(digits, digits[1:])
		buf = buf[:len(buf)-1]
	}
	return buf, nil
}

const hexDigits = "0123456789ABCDEF"

// appendName writes what 7.3.5 wants escaped as #xx.
func appendName(buf []byte, n Name) []byte {
	buf = append(buf, '/')
	for i := range len(n) {
		if b := n[i]; b > ' ' && b < 0x7f && b != '#' && isRegular(b) {
			buf = append(buf, b)
		} else {
			buf = append(buf, '#', hexDigits[b>>4], hexDigits[b&15])
		}
	}
	return buf
}

// appendString writes printable text as a literal string, all else in
// hexadecimal digits: no byte of it is then open to a change of line ends.
func appendString(buf []byte, s String) []byte {
	for i := range len(s) {
		if b := s[i]; b < ' ' || b > '~' {
			buf = append(buf, '<')
			for i := range len(s) {
				buf = append(buf, hexDigits[s[i]>>4], hexDigits[s[i]&15])
			}
			return append(buf, '>')
		}
	}
	buf = append(buf, '(')
	for i := range len(s) {
		if b := s[i]; b == '(' || b == ')' || b == '\\' {
			buf = append(buf, '\\')
		}
		buf = append(buf, s[i])
	}
	return append(buf, ')')
}
