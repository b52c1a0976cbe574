package geometry

import (
	"errors"
	"strings"
)

// Reason says one thing that stands in the way: what, by how much, and the
// nearest that would do.
type Reason struct {
	Code    string `json:"code"`              // stable word for scripts
	Text    string `json:"text"`              // a sentence with the numbers
	Nearest string `json:"nearest,omitempty"` // what would do instead; may be empty
}

// NotFitError holds all reasons why there is no layout.
type NotFitError struct{ Reasons []Reason }

func (e *NotFitError) Error() string {
	texts := make([]string, len(e.Reasons))
	for i, r := range e.Reasons {
		texts[i] = r.Text
	}
	return "does not fit: " + strings.Join(texts, "; ")
}

// Hint returns the nearest that would fit.
func (e *NotFitError) Hint() string {
	var ways []string
	for _, r := range e.Reasons {
		if r.Nearest != "" {
			ways = append(ways, r.Nearest)
		}
	}
	return strings.Join(ways, "; ")
}

// hintError is an error with the way out beside it.
type hintError struct{ text, way string }

func (e *hintError) Error() string { return e.text }

// Hint returns the way out.
func (e *hintError) Hint() string { return e.way }

// reason turns an error with a hint into one among other reasons.
func reason(code string, err error) Reason {
	r := Reason{Code: code, Text: err.Error()}
	if e, ok := errors.AsType[*hintError](err); ok {
		r.Nearest = e.way
	}
	return r
}
