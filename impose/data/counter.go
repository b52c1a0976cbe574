package data

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"quoin/impose/checkdigit"
)

// Counter gives each record a number of its own.
type Counter struct {
	Name  string
	Start int64
	Step  int64             // 0 counts as 1
	Pad   int               // digits, with zeros in front; the check digit comes on top
	Check checkdigit.Scheme // a check digit behind the number; "" for none
}

// step gives the step, 1 when none is said.
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
	if n := len(strconv.FormatInt(max(last, c.Start), 10)); c.Pad > 0 && n > c.Pad {
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

// value gives the number of record n, the first is 0; false when it doesn't
// fit into 64 bits.
func (c Counter) value(n int64) (int64, bool) {
	s := c.step()
	if n > 0 && (s > (math.MaxInt64-c.Start)/n || s < math.MinInt64/n) {
		return 0, false
	}
	return c.Start + n*s, true
}

// text gives the number of record n as it is printed.
func (c Counter) text(n int64) string {
	v, _ := c.value(n) // check saw to it
	s := strconv.FormatInt(v, 10)
	if len(s) < c.Pad {
		s = strings.Repeat("0", c.Pad-len(s)) + s
	}
	if c.Check != "" {
		s, _ = c.Check.Append(s) // digits only, and the scheme is known
	}
	return s
}
