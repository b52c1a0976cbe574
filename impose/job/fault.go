package job

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"quoin/impose/say"
)

// Position is a place in a file. Line and column count from 1, the column in
// characters; a line of 0 means that the value came from no file.
type Position struct {
	Path      string
	Line, Col int
}

// String returns path:line:column, as editors and terminals understand it.
func (p Position) String() string {
	switch {
	case p.Line == 0:
		return p.Path
	case p.Col == 0:
		return fmt.Sprintf("%s:%d", p.Path, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", p.Path, p.Line, p.Col)
}

// Fault is one thing that is wrong.
type Fault struct {
	Position        // of the value, or of what should hold it
	Key      string // where it belongs, as "artworks[0].file"; may be empty
	Record   string // the die or the order that it is part of; empty in other files
	Of       string // what What is said of: the key; empty where that is a sentence by itself
	What     string // what is wrong
	Hint     string // the way out; may be empty
	Quote    string // the line as the user wrote it, cut when very long; may be empty
	caret    int    // characters of the quote before the value
	cell     string // of a spreadsheet, as "B3"; may be empty
}

// missing is what is wrong with a key that must be said.
const missing = "is missing"

// Missing reports whether the key is not said and must be.
func (f *Fault) Missing() bool { return f.Of != "" && f.What == missing }

// Text returns what is wrong in a sentence.
func (f *Fault) Text() string { return f.TextOf(f.Of) }

// TextOf is Text where the key is called otherwise, as by a flag.
func (f *Fault) TextOf(name string) string {
	text := f.What
	if name != "" {
		text = name + ": " + text
	}
	if f.cell != "" {
		text = "cell " + f.cell + ": " + text
	}
	return text
}

// FileError holds all faults of one file, in the order of their lines. A job's
// may include those of the press file that it names.
type FileError struct {
	Path   string // empty when the values came from no file
	Faults []Fault
	Whole  bool // of a list: the file as such is not understood, so that none of its records is
}

// Error returns one line for each fault: path:line:column: text (hint).
func (e *FileError) Error() string { return strings.Join(e.lines(), "\n") }

// OneLine is Error for where one line has room.
func (e *FileError) OneLine() string { return strings.Join(e.lines(), "; ") }

func (e *FileError) lines() []string {
	lines := make([]string, len(e.Faults))
	for i, f := range e.Faults {
		lines[i] = f.where() + f.Text()
		if f.Hint != "" {
			lines[i] += " (" + f.Hint + ")"
		}
	}
	return lines
}

// Refused returns the kind of refusal that it is.
func (e *FileError) Refused() say.Kind { return say.BadFile }

// Report returns each fault as a person at a terminal wants it: the place and
// what is wrong, the line with a caret under the value, and the hint.
func (e *FileError) Report() string {
	var b strings.Builder
	for _, f := range e.Faults {
		fmt.Fprintf(&b, "error: %s%s\n", f.where(), f.Text())
		if f.Quote != "" {
			number := fmt.Sprintf("%5d", f.Line)
			fmt.Fprintf(&b, "%s | %s\n", number, f.Quote)
			if f.Col > 0 {
				fmt.Fprintf(&b, "%*s | %*s\n", len(number), "", f.caret+1, "^")
			}
		}
		if f.Hint != "" {
			fmt.Fprintf(&b, "hint: %s\n", f.Hint)
		}
	}
	return b.String()
}

func (f Fault) where() string {
	if s := f.Position.String(); s != "" {
		return s + ": "
	}
	return ""
}

// sorted puts the faults in the order of the file.
func (e *FileError) sorted() *FileError {
	slices.SortStableFunc(e.Faults, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Col, b.Col))
	})
	return e
}
