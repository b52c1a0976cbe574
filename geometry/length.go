package geometry

import (
	"bytes"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
)

// Length is a distance in whole nanometres.
//
// Floating point gets the count across wrong by one on jobs that are built to
// fit exactly (306 mm takes three labels of 100 mm with gaps of 3 mm, and not
// two); whole nanometres never do. The largest Length is some nine million
// kilometres.
type Length int64

// The units of a Length. An inch is exactly 25.4 mm (international inch of
// 1959); a point of 1/72 inch is not a whole number of nanometres, so it has
// no constant: see ParseLength and Length.Points.
const (
	Nanometre  Length = 1
	Micrometre        = 1000 * Nanometre
	Millimetre        = 1000 * Micrometre
	Centimetre        = 10 * Millimetre
	Metre             = 1000 * Millimetre
	Inch              = 25_400 * Micrometre
)

// PointsPerInch is the size of PDF's default user space unit, ISO 32000-1 8.3.2.3.
const PointsPerInch = 72

// MM returns the length in millimetres.
func (l Length) MM() float64 { return float64(l) / float64(Millimetre) }

// Metres returns the length in metres.
func (l Length) Metres() float64 { return float64(l) / float64(Metre) }

// Points returns the length in points of 1/72 inch.
func (l Length) Points() float64 { return float64(l) * PointsPerInch / float64(Inch) }

// FromMM returns the length nearest to mm millimetres. Text is parsed with
// ParseLength, which is exact; this is for numbers that were never text.
func FromMM(mm float64) Length { return roundFloat(mm * float64(Millimetre)) }

// FromPoints returns the length nearest to pt points of 1/72 inch.
func FromPoints(pt float64) Length { return roundFloat(pt * float64(Inch) / PointsPerInch) }

func roundFloat(nm float64) Length {
	switch {
	case math.IsNaN(nm):
		return 0
	case nm >= math.MaxInt64:
		return math.MaxInt64
	case nm <= -math.MaxInt64:
		return -math.MaxInt64
	}
	if nm < 0 {
		return -Length(-nm + 0.5)
	}
	return Length(nm + 0.5)
}

// Scaled returns the length times to / from, to the nearest nanometre. The product
// must stay inside 64 bits: a line of a thousand ems with capitals of a centimetre
// is 1.3e8 x 1e7.
func (l Length) Scaled(to, from Length) Length {
	n := l * to
	if n < 0 {
		return -((-n + from/2) / from)
	}
	return (n + from/2) / from
}

// String returns the length in millimetres as people read it everywhere in this
// program: to the micrometre, with no more digits than it has, and never in
// groups, so that a flag takes it back: "3.175 mm". Only what is less than a
// micrometre keeps all its digits. Digits is exact.
func (l Length) String() string { return l.rounded().Digits() + " mm" }

func (l Length) rounded() Length {
	part := l % Micrometre
	whole := l - part
	if whole == 0 || whole < -longest || whole > longest {
		return l
	}
	return whole + part/(Micrometre/2)*Micrometre // halves away from zero
}

// up and down give the whole micrometres that reach the length and those that
// it holds: what is asked for and what there is, so that the two never read the
// same where one is less than the other.
func (l Length) up() Length   { return -(-l).down() }
func (l Length) down() Length { return l - ((l%Micrometre)+Micrometre)%Micrometre }

// Digits returns the length in millimetres as a plain decimal number without
// unit: exact, and the shortest such.
func (l Length) Digits() string {
	return string(l.appendDigits(make([]byte, 0, 24)))
}

func (l Length) appendDigits(b []byte) []byte {
	u := uint64(l)
	if l < 0 {
		b, u = append(b, '-'), -u
	}
	whole, part := u/uint64(Millimetre), u%uint64(Millimetre)
	b = strconv.AppendUint(b, whole, 10)
	if part == 0 {
		return b
	}
	point := len(b)
	b = strconv.AppendUint(b, part+uint64(Millimetre), 10) // a leading 1 keeps the zeros,
	b[point] = '.'                                         // and makes room for the point
	return bytes.TrimRight(b, "0")
}

// A NotationError says why a text is not a length or a size.
type NotationError struct {
	Text string // what was read
	Why  string // what is wrong with it
	Way  string // what to write instead; may be empty
}

func (e *NotationError) Error() string { return fmt.Sprintf("%q %s", e.Text, e.Why) }

// Hint returns the way out.
func (e *NotationError) Hint() string { return e.Way }

// unitNanometres holds each unit's size as an exact fraction of nanometres.
var unitNanometres = map[string]*big.Rat{
	"um": big.NewRat(int64(Micrometre), 1),
	"µm": big.NewRat(int64(Micrometre), 1), // U+00B5, the micro sign
	"μm": big.NewRat(int64(Micrometre), 1), // U+03BC, the Greek letter
	"mm": big.NewRat(int64(Millimetre), 1),
	"cm": big.NewRat(int64(Centimetre), 1),
	"m":  big.NewRat(int64(Metre), 1),
	"in": big.NewRat(int64(Inch), 1),
	"pt": big.NewRat(int64(Inch), PointsPerInch),
}

const unitHint = "write a unit behind the number: mm, cm, m, in, pt or um, as in 3.175mm or 1/8in"

// ParseLength reads a length with its unit: "3mm", "0.125in", "1/8in",
// "1 1/8in", "12.5 um". The value is exact; what is finer than a nanometre is
// rounded to the nearest, which only pt and odd fractions need. A number
// without unit is refused.
func ParseLength(text string) (Length, error) {
	s := strings.TrimSpace(text)
	number, unit := splitUnit(s)
	if l, ok := parsePlain(number, unit); ok {
		return l, nil
	}
	value, ok := parseNumber(number)
	if !ok {
		return 0, &NotationError{text, "is not a length", numberHint(number, unitHint)}
	}
	if unit == "" {
		return 0, &NotationError{text, "has no unit", unitHint}
	}
	scale, ok := unitNanometres[unit]
	if !ok {
		return 0, &NotationError{text, fmt.Sprintf("has the unknown unit %q", unit), unitHint}
	}
	return scaled(text, value, scale)
}

// longest is the most that text may say: far beyond any web, so that sums of
// what was read never overflow.
const longest = 10_000_000 * Metre

// scaled turns a number of units into a length.
func scaled(text string, value, unit *big.Rat) (Length, error) {
	nm := roundRat(value.Mul(value, unit))
	if nm.CmpAbs(big.NewInt(int64(longest))) > 0 {
		return 0, &NotationError{text, "is longer than any web", "lengths up to 10,000,000 m are understood"}
	}
	return Length(nm.Int64()), nil
}

// numberHint gives the way out where s should have been a number.
func numberHint(s, otherwise string) string {
	if strings.Contains(s, ",") {
		return "write a point, not a comma, before the decimals, as in 3.175mm"
	}
	return otherwise
}

// splitUnit cuts the letters off the end of s.
func splitUnit(s string) (number, unit string) {
	i := len(s)
	for i > 0 {
		c := s[i-1]
		if c >= '0' && c <= '9' || c == '.' || c == ' ' || c == '/' {
			break
		}
		i--
	}
	return strings.TrimSpace(s[:i]), s[i:]
}

// parseNumber reads a decimal number, a fraction, or a whole number and a
// fraction with a space between.
func parseNumber(s string) (*big.Rat, bool) {
	if len(s) > 40 { // no real length has so many digits
		return nil, false
	}
	negative := strings.HasPrefix(s, "-")
	if negative || strings.HasPrefix(s, "+") {
		s = s[1:]
	}
	parts := strings.Fields(s)
	var sum *big.Rat
	switch len(parts) {
	case 1:
		sum = parseUnsigned(parts[0])
	case 2: // "1 2", "1.5 1/2" and "1/2 1" say nothing clear
		whole, part := parseDecimal(parts[0]), parseFraction(parts[1])
		if whole != nil && whole.IsInt() && part != nil {
			sum = whole.Add(whole, part)
		}
	}
	if sum == nil {
		return nil, false
	}
	if negative {
		sum.Neg(sum)
	}
	return sum, true
}

func parseUnsigned(s string) *big.Rat {
	if strings.Contains(s, "/") {
		return parseFraction(s)
	}
	return parseDecimal(s)
}

// parseDecimal reads digits with at most one point, or gives nil. What
// big.Rat would take beyond that (exponents, prefixes, signs) is refused.
func parseDecimal(s string) *big.Rat {
	if strings.Trim(s, "0123456789.") != "" {
		return nil
	}
	v, ok := new(big.Rat).SetString(s)
	if !ok {
		return nil
	}
	return v
}

// parseFraction reads digits, a slash and digits, or gives nil. The halves are
// read apart because big.Rat takes a leading 0 in a fraction for octal.
func parseFraction(s string) *big.Rat {
	above, below, ok := strings.Cut(s, "/")
	if !ok || strings.Contains(s, ".") {
		return nil
	}
	a, b := parseDecimal(above), parseDecimal(below)
	if a == nil || b == nil || b.Sign() == 0 {
		return nil
	}
	return a.Quo(a, b)
}

// roundRat rounds to the nearest whole number, halves away from zero.
func roundRat(r *big.Rat) *big.Int {
	num := new(big.Int).Abs(r.Num())
	num.Lsh(num, 1).Add(num, r.Denom())
	q := num.Quo(num, new(big.Int).Lsh(r.Denom(), 1))
	if r.Sign() < 0 {
		q.Neg(q)
	}
	return q
}

// MarshalText writes the length as text that ParseLength reads back exactly.
func (l Length) MarshalText() ([]byte, error) { return []byte(l.Digits() + "mm"), nil }

// UnmarshalText reads what ParseLength reads.
func (l *Length) UnmarshalText(text []byte) (err error) {
	*l, err = ParseLength(string(text))
	return err
}
