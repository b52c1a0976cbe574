package say

import (
	"errors"
	"fmt"

	"quoin/geometry"
)

// Kind is the kind of thing that is refused; it decides the exit code.
type Kind string

// The kinds.
const (
	Failed  Kind = ""         // anything else, as a disk or a lock; or the error that wraps it says which
	Usage   Kind = "usage"    // a command line that can't be understood
	BadFile Kind = "bad-file" // a job, press, die, order, record or summary file
	NotFit  Kind = "not-fit"  // labels or lanes don't fit
	Inks    Kind = "inks"     // more inks than the press prints in one pass
	Taken   Kind = "taken"    // something else is where a folder would appear
	Disk    Kind = "disk"     // the disk doesn't take what is written
	Away    Kind = "away"     // work that was handed over did not come back
	Artwork Kind = "artwork"  // an artwork, or a PDF to be verified
)

// Kinds is what the manual says of them.
var Kinds = Codes{Title: "kinds of refusals", List: []Meaning{
	{string(Usage), "the command line can't be understood"},
	{string(BadFile), "a job, press, die, order, record or summary file is wrong"},
	{string(NotFit), "labels or lanes don't fit"},
	{string(Inks), "the inks are more than the press prints in one pass"},
	{string(Taken), "something else stands where a file or folder would appear"},
	{string(Disk), "the disk doesn't take what is written"},
	{string(Away), "work that was handed over did not come back"},
	{string(Artwork), "an artwork, or a PDF to be verified, can't be used"},
}}

// Refusal is an error that says why something is refused and the way out.
type Refusal struct {
	Kind Kind
	Text string // what is wrong; before Err, if there is one
	Way  string // the way out; if empty, that of Err
	Err  error  // the cause; may be nil
}

// Refuse returns a refusal with a text made like fmt.Sprintf makes it.
func Refuse(kind Kind, way, format string, args ...any) *Refusal {
	return &Refusal{Kind: kind, Way: way, Text: fmt.Sprintf(format, args...)}
}

func (r *Refusal) Error() string {
	switch {
	case r.Err == nil:
		return r.Text
	case r.Text == "":
		return r.Err.Error()
	}
	return r.Text + ": " + r.Err.Error()
}

func (r *Refusal) Unwrap() error { return r.Err }

// Hint returns the way out.
func (r *Refusal) Hint() string {
	if r.Way != "" {
		return r.Way
	}
	return Hint(r.Err)
}

// Refused returns the kind.
func (r *Refusal) Refused() Kind { return r.Kind }

// Hint returns the way out that an error, or one that it wraps, knows; or "".
func Hint(err error) string {
	var hinted interface{ Hint() string }
	if errors.As(err, &hinted) {
		return hinted.Hint()
	}
	return ""
}

// WithHint returns the error's text with the way out, if it has one, in
// brackets.
func WithHint(err error) string {
	if hint := Hint(err); hint != "" {
		return err.Error() + " (" + hint + ")"
	}
	return err.Error()
}

// KindOf returns the kind of the outermost error in a chain that has one, or
// Failed. Errors that carry more than a Refusal tell it by a method Refused, but for
// geometry's, which knows no refusals.
func KindOf(err error) Kind {
	for err != nil {
		if _, ok := err.(*geometry.NotFitError); ok {
			return NotFit
		}
		if r, ok := err.(interface{ Refused() Kind }); ok && r.Refused() != Failed {
			return r.Refused()
		}
		if many, ok := err.(interface{ Unwrap() []error }); ok {
			for _, one := range many.Unwrap() {
				if kind := KindOf(one); kind != Failed {
					return kind
				}
			}
			return Failed
		}
		err = errors.Unwrap(err)
	}
	return Failed
}
