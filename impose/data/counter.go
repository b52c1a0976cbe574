package data

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"quoin/impose/checkdigit"
	"quoin/impose/say"
)

// Counter gives each record a number of its own.
type Counter struct {
	Name  string
	Start int64
	Step  int64             // 0 counts as 1
	Pad   int               // digits, with zeros in front; the check digit comes on top
	Check checkdigit.Scheme // a check digit behind the number; "" for none
	// Letters are what digits are written with, the first for nothing; "" for 0 to
	// 9. No two are alike.
	Letters string
}

// Base36 are the digits and capitals, and Clear those that no one takes for each
// other: without 0, 1, I, L, O and U.
const (
	Base36 = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
	Clear  = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
)

// letters returns the digits of a number in an alphabet, the highest first.
func letters(v int64, alphabet []rune) string {
	var out []rune
	for n := int64(len(alphabet)); v > 0 || out == nil; v /= n {
		out = append(out, alphabet[v%n])
	}
	slices.Reverse(out)
	return string(out)
}

// checkLetters refuses alphabets that tell no numbers apart.
func checkLetters(alphabet string) error {
	all := []rune(alphabet)
	sorted := slices.Sorted(slices.Values(all))
	if len(all) < 2 || len(slices.Compact(sorted)) < len(all) {
		return fmt.Errorf("an alphabet of %q tells no numbers apart", say.Clip(alphabet, 100))
	}
	return nil
}

// step returns the step, 1 when none is said.
func (c Counter) step() int64 {
	if c.Step == 0 {
		return 1
	}
	return c.Step
}

// check refuses a counter that doesn't last for so many records, so that no
// run ends in the middle.
func (c Counter) check(records int64) error {
	last, ok := c.value(records - 1)
	switch {
	case c.Start < 0 || !ok || last < 0:
		return &Fault{Column: c.Name, Err: fmt.Errorf("the counter leaves the numbers from 0 to %d in %d records", int64(math.MaxInt64), records),
			Way: "choose its start and step so that all numbers are 0 or more"}
	case c.Pad < 0 || c.Pad > 30:
		return &Fault{Column: c.Name, Err: fmt.Errorf("a number of %d digits can't be counted", c.Pad), Way: "give 1 to 30 digits"}
	}
	if c.Letters != "" {
		if err := checkLetters(c.Letters); err != nil {
			return &Fault{Column: c.Name, Err: err, Way: "give two letters at least, each once"}
		}
		if c.Check != "" {
			return &Fault{Column: c.Name, Err: errors.New("a check digit stands behind numbers of ten digits only"), Way: "leave it out, or the alphabet"}
		}
	}
	if n := utf8.RuneCountInString(c.number(max(last, c.Start))); c.Pad > 0 && n > c.Pad {
		return &Fault{Column: c.Name, Err: fmt.Errorf("the counter reaches %d, which has more than %d digits", max(last, c.Start), c.Pad),
			Way: fmt.Sprintf("give it %d digits, or start lower", n)}
	}
	if c.Check != "" {
		if _, err := c.Check.Digit("0"); err != nil {
			return &Fault{Column: c.Name, Err: err}
		}
	}
	return nil
}

// number writes a number without zeros in front.
func (c Counter) number(v int64) string {
	if c.Letters == "" {
		return strconv.FormatInt(v, 10)
	}
	return letters(v, []rune(c.Letters))
}

// value returns the number of record n, the first is 0; false when it doesn't
// fit into 64 bits.
func (c Counter) value(n int64) (int64, bool) {
	s := c.step()
	if n > 0 && (s > (math.MaxInt64-c.Start)/n || s < math.MinInt64/n) {
		return 0, false
	}
	return c.Start + n*s, true
}

// text returns the number of record n as it is printed.
func (c Counter) text(n int64) string {
	v, _ := c.value(n) // check saw to it
	s, zero := c.number(v), "0"
	if c.Letters != "" {
		zero = string([]rune(c.Letters)[:1])
	}
	if n := utf8.RuneCountInString(s); n < c.Pad {
		s = strings.Repeat(zero, c.Pad-n) + s
	}
	if c.Check != "" {
		s, _ = c.Check.Append(s) // digits only, and the scheme is known
	}
	return s
}
