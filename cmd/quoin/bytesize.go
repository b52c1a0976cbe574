package main

import (
	"strconv"
	"strings"
)

// byteSize is a number of bytes as people write it: 500MB, 20GB, of a thousand
// each.
type byteSize int64

var byteUnits = []struct {
	unit  string
	bytes int64
}{{"TB", 1e12}, {"GB", 1e9}, {"MB", 1e6}, {"kB", 1e3}, {"B", 1}}

// MarshalText writes it with the largest unit that leaves a whole number.
func (b byteSize) MarshalText() ([]byte, error) {
	for _, u := range byteUnits {
		if n := int64(b); n >= u.bytes && n%u.bytes == 0 {
			return []byte(strconv.FormatInt(n/u.bytes, 10) + u.unit), nil
		}
	}
	return nil, nil
}

// UnmarshalText reads a whole number with its unit.
func (b *byteSize) UnmarshalText(text []byte) error {
	for _, u := range byteUnits {
		digits, ok := strings.CutSuffix(strings.TrimSpace(string(text)), u.unit)
		if !ok {
			continue
		}
		n, err := strconv.ParseInt(strings.TrimSpace(digits), 10, 64)
		if err != nil || n <= 0 || n > 1e18/u.bytes {
			break
		}
		*b = byteSize(n * u.bytes)
		return nil
	}
	return usagef("%q is no size", "write a whole number with its unit, as in 500MB or 20GB", text)
}
