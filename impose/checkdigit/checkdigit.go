// Package checkdigit works out the digit that lets a scanner notice a
// misread number. It knows neither symbols nor records.
package checkdigit

import (
	"fmt"
	"slices"

	"quoin/impose/say"
)

// Scheme is a way to work out a check digit.
type Scheme string

// The schemes.
const (
	// GS1 weights 3, 1, 3, ... from the right of the data: GTIN, EAN, UPC,
	// SSCC. GS1 General Specifications, section 7.9.
	GS1 Scheme = "gs1"
	// Luhn doubles every other digit from the right and adds the digits of
	// what that gives: ISO/IEC 7812-1 annex B.
	Luhn Scheme = "luhn"
)

// Schemes lists them.
func Schemes() []Scheme { return []Scheme{GS1, Luhn} }

// Digit returns the check digit, '0' to '9', of data without one.
func (s Scheme) Digit(data string) (byte, error) {
	if !slices.Contains(Schemes(), s) {
		return 0, fmt.Errorf("there is no check digit called %q", string(s))
	}
	if data == "" {
		return 0, fmt.Errorf("a check digit of nothing can't be worked out")
	}
	sum := 0
	for i := range len(data) {
		c := data[len(data)-1-i]
		if c < '0' || c > '9' {
			return 0, fmt.Errorf("%q holds more than digits, so it has no check digit", data)
		}
		d := int(c - '0')
		switch {
		case i%2 == 0 && s == GS1:
			d *= 3
		case i%2 == 0:
			d = d*2%10 + d*2/10
		}
		sum += d
	}
	return byte('0' + (10-sum%10)%10), nil
}

// Append returns the data with its check digit behind it.
func (s Scheme) Append(data string) (string, error) {
	c, err := s.Digit(data)
	if err != nil {
		return "", err
	}
	return data + string(c), nil
}

// Verify checks the last digit of a number: a *MismatchError when it is wrong.
func (s Scheme) Verify(number string) error {
	if number == "" {
		return fmt.Errorf("nothing has no check digit")
	}
	n := len(number) - 1
	want, err := s.Digit(number[:n])
	switch got := number[n]; {
	case err != nil:
		return err
	case got < '0' || got > '9':
		return fmt.Errorf("%q doesn't end in a check digit", number)
	case got != want:
		return say.Refuse(say.Failed, "a digit of it is wrong; ask whoever gave the number, or leave the check digit off and have it worked out",
			"%q ends in the check digit %c, but its digits give %c", number, got, want)
	}
	return nil
}
