package geometry

import (
	"math/big"
	"strconv"
	"strings"
)

// Share is a part of a whole, in thousand-millionths: exact for every
// percentage of up to seven decimals, so that 5 % of 100,000 labels is 5,000
// and not one more.
type Share int64

// The units of a Share.
const (
	Percent Share = 10_000_000
	Whole         = 100 * Percent
)

// mostShare is the largest that text may say.
const mostShare = 100 * Whole

const shareHint = "write a percentage, as in 3% or 2.5%"

// ParseShare reads a percentage: "3%", "2.5 %", "0%". The sign is required.
func ParseShare(text string) (Share, error) {
	number, ok := strings.CutSuffix(strings.TrimSpace(text), "%")
	if !ok {
		return 0, &NotationError{text, "is not a percentage", shareHint}
	}
	v, ok := parseNumber(strings.TrimSpace(number))
	if !ok {
		return 0, &NotationError{text, "is not a percentage", shareHint}
	}
	n := roundRat(v.Mul(v, big.NewRat(int64(Percent), 1)))
	if n.CmpAbs(big.NewInt(int64(mostShare))) > 0 {
		return 0, &NotationError{text, "is more than hundredfold", shareHint}
	}
	return Share(n.Int64()), nil
}

// Float returns 0.03 for 3 %.
func (s Share) Float() float64 { return float64(s) / float64(Whole) }

// String returns "3%".
func (s Share) String() string {
	return strconv.FormatFloat(float64(s)/float64(Percent), 'f', -1, 64) + "%"
}

// More returns n increased by the share, rounded up to a whole number.
func (s Share) More(n int64) int64 {
	extra := new(big.Int).Mul(big.NewInt(n), big.NewInt(int64(s)))
	q, r := new(big.Int).QuoRem(extra, big.NewInt(int64(Whole)), new(big.Int))
	if r.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	return n + q.Int64()
}

// MoreLength returns l increased by the share, to the nearest nanometre.
func (s Share) MoreLength(l Length) Length {
	extra := new(big.Rat).SetFrac(
		new(big.Int).Mul(big.NewInt(int64(l)), big.NewInt(int64(s))), big.NewInt(int64(Whole)))
	return l + Length(roundRat(extra).Int64())
}

// MarshalText writes what ParseShare reads back.
func (s Share) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what ParseShare reads.
func (s *Share) UnmarshalText(text []byte) (err error) {
	*s, err = ParseShare(string(text))
	return err
}
