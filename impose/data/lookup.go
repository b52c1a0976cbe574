package data

import (
	"fmt"
	"io"
	"slices"
)

// Lookup gives records by their numbers. It holds one stretch of them, so that
// walking up or down reads each row once.
type Lookup struct {
	records *Records
	first   int64 // number of the first record held
	held    [][]string
}

// Lookup returns a lookup of its own to whoever walks through the records.
func (r *Records) Lookup() *Lookup { return &Lookup{records: r} }

// Get returns the values of record n, the first is 1; they stay as they are.
func (l *Lookup) Get(n int64) ([]string, error) {
	if i := n - l.first; i >= 0 && i < int64(len(l.held)) {
		return l.held[i], nil
	}
	if n < 1 || n > l.records.Count {
		return nil, fmt.Errorf("there is no record %d among %d", n, l.records.Count)
	}
	l.first, l.held = (n-1)/stretch*stretch+1, l.held[:0]
	rd, err := l.records.From(l.first)
	if err != nil {
		return nil, err
	}
	for len(l.held) < stretch {
		values, err := rd.Next()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, err
		}
		l.held = append(l.held, slices.Clone(values))
	}
	return l.held[n-l.first], nil
}

// Place says where record n stands, for messages.
func (r *Records) Place(n int64, err error) error {
	rd, ferr := r.From(n)
	if ferr != nil {
		return ferr
	}
	if _, ferr := rd.Next(); ferr != nil {
		return ferr
	}
	return rd.Fault(err)
}
