package cgats

import (
	"fmt"
	"slices"
	"strings"

	"quoin/impose/say"
)

// Table is one table of a file.
type Table struct {
	Path    string    // for messages
	Form    string    // the file's first word, such as ISO28178 or CTI3; may be empty
	Headers []Keyword // in their order; those that only name a form or a count are left out
	Fields  []string  // in capitals
	Rows    []Row
}

// Keyword is a line before the data.
type Keyword struct {
	Name, Value string
	Line        int // first is 1
}

// Row is one set of values, as many as the table has fields.
type Row struct {
	Line   int // first is 1
	Values []string
}

// Header returns the value of the first of some keywords that the table has.
func (t *Table) Header(names ...string) string {
	for _, n := range names {
		for _, k := range t.Headers {
			if strings.EqualFold(k.Name, n) {
				return k.Value
			}
		}
	}
	return ""
}

// Column returns a field's place, -1 for one that the table lacks.
func (t *Table) Column(names ...string) int {
	for _, n := range names {
		if i := slices.Index(t.Fields, n); i >= 0 {
			return i
		}
	}
	return -1
}

// Error says what in a file can't be read.
type Error struct {
	Path  string
	Line  int    // first is 1; 0 for the file as a whole
	Field string // "" where it is no field's value
	Text  string
	Way   string // out of it
}

func (e *Error) Error() string {
	at := e.Path
	if e.Line > 0 {
		at = fmt.Sprintf("%s:%d", at, e.Line)
	}
	if e.Field != "" {
		at += ": " + e.Field
	}
	return at + ": " + e.Text
}

// Hint returns the way out.
func (e *Error) Hint() string { return e.Way }

// Refused says that a file is wrong.
func (e *Error) Refused() say.Kind { return say.BadFile }
