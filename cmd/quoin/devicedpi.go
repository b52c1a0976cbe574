package main

import (
	"fmt"
	"strconv"
	"strings"
)

// deviceDPI is the pixels of a device to the inch, across the web and along its
// travel.
type deviceDPI [2]int

// UnmarshalText reads 1200, or 1600x800, with or without dpi behind it.
func (d *deviceDPI) UnmarshalText(text []byte) error {
	s := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(string(text)), "dpi"))
	across, around, two := strings.Cut(s, "x")
	if !two {
		around = across
	}
	for i, part := range []string{across, around} {
		n, err := strconv.Atoi(strings.TrimSpace(part))
		if err != nil || n < 1 || n > 100_000 {
			return usagef("%q is no resolution", "write dots per inch, as 1200, or 1600x800 across and along the travel", string(text))
		}
		d[i] = n
	}
	return nil
}

// MarshalText writes one number where both are the same.
func (d *deviceDPI) MarshalText() ([]byte, error) {
	if d[0] == d[1] {
		return strconv.AppendInt(nil, int64(d[0]), 10), nil
	}
	return fmt.Appendf(nil, "%dx%d", d[0], d[1]), nil
}
