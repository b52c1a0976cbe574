package data

import (
	"fmt"
	"strings"

	"quoin/impose/say"
)

// A Fault says what is wrong with a record, and where.
type Fault struct {
	Path   string // of the file; "" for counters
	Line   int    // in the file; 0 for none
	Record int64  // the first is 1; 0 for none
	Column string // or counter; may be empty
	Err    error
	Way    string // the way out
}

func (e *Fault) Error() string {
	var b strings.Builder
	if e.Path != "" {
		fmt.Fprintf(&b, "%s:", e.Path)
		if e.Line > 0 {
			fmt.Fprintf(&b, "%d:", e.Line)
		}
		b.WriteByte(' ')
	}
	if e.Record > 0 {
		fmt.Fprintf(&b, "record %d: ", e.Record)
	}
	if e.Column != "" {
		fmt.Fprintf(&b, "%s: ", e.Column)
	}
	return say.Clip(b.String()+e.Err.Error(), longest)
}

// longest is how many bytes of a fault are shown: a cell may be megabytes long.
const longest = 600

func (e *Fault) Unwrap() error { return e.Err }

// Hint returns the way out.
func (e *Fault) Hint() string {
	if e.Way != "" {
		return say.Clip(e.Way, longest)
	}
	return say.Clip(say.Hint(e.Err), longest)
}

// Refused returns the kind of refusal that a fault is.
func (e *Fault) Refused() say.Kind { return say.BadFile }
