// Package say is the one voice in which numbers and words reach people: counts,
// lengths, lists, tables, notes and refusals, alike in text, in the words of
// JSON, on sheets and on pages. It knows nothing of labels.
package say

import (
	"math"
	"strconv"
	"strings"
)

// Number writes a whole number with a comma between groups of three digits.
func Number[N ~int | ~int64](n N) string {
	s := strconv.FormatInt(int64(n), 10)
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// Decimals writes a number with at most so many decimals, without zeros at the
// end, and its whole part as Number does.
func Decimals(v float64, most int) string {
	s := Fixed(v, most)
	if strings.Contains(s, ".") {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// Fixed writes a number with exactly so many decimals, and its whole part as
// Number does. Halves go away from zero, as lengths do, also where no float is
// the half: 3.175 is 3.18, never 3.17.
func Fixed(v float64, decimals int) string {
	s := strconv.FormatFloat(math.Nextafter(v, math.Copysign(math.MaxFloat64, v)), 'f', decimals, 64)
	whole, rest, found := strings.Cut(s, ".")
	n, err := strconv.ParseInt(whole, 10, 64)
	if err != nil || n > -1000 && n < 1000 {
		if strings.Trim(s, "-0.") == "" {
			return strings.TrimPrefix(s, "-") // what rounds to nothing has no sign
		}
		return s // nothing to group, and the sign of -0.5 is kept
	}
	if whole = Number(n); found {
		whole += "."
	}
	return whole + rest
}

// Signed is Fixed with a plus before what is more than nothing: a difference.
func Signed(v float64, decimals int) string {
	s := Fixed(v, decimals)
	if s[0] == '-' || strings.Trim(s, "0.") == "" {
		return s
	}
	return "+" + s
}

// Digits writes a measure in millimetres, or in any other unit that flags and
// files take, to the thousandth (a micrometre) and no more digits than it has:
// "3.175". It is never in groups, so that it can be typed where it is asked for:
// 1,016 mm would be about 1 mm to whoever writes decimals behind a comma.
func Digits(v float64) string { return Plain(v, 3) }

// Plain is Decimals without groups, for charts and for files that programs read.
func Plain(v float64, most int) string { return strings.ReplaceAll(Decimals(v, most), ",", "") }

// Exact writes all digits that a number has, as JSON does, for programs.
func Exact(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// MM writes a length given in millimetres, with its unit: "3.175 mm".
func MM(v float64) string { return Digits(v) + " mm" }

// Pair writes a size given in millimetres across and around: "50 x 75 mm".
func Pair(across, around float64) string { return Digits(across) + " x " + MM(around) }

// Amount writes metres, minutes and money with the digits that matter: two
// decimals below 100, one below 10,000, and none above.
func Amount(v float64) string {
	switch size := math.Abs(v); {
	case size < 100:
		return Fixed(v, 2)
	case size < 10_000:
		return Fixed(v, 1)
	}
	return Fixed(v, 0)
}

// Metres writes a length given in metres to the millimetre, with its unit.
func Metres(v float64) string { return Decimals(v, 3) + " m" }

// Rough writes a number with so many digits that count, and no zeros behind
// them: 0.254 and 12.3 with three.
func Rough(v float64, digits int) string {
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
	if err != nil {
		return Exact(v)
	}
	return Exact(short)
}
