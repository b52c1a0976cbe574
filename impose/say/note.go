package say

import (
	"fmt"
	"slices"
)

// Note is something that a person should know: a warning to look at before the
// run, or what is good to know. Code is stable, for scripts.
type Note struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

// Notes is a list of notes, each of which is made once.
type Notes []Note

// Add adds a note unless the list has it.
func (n *Notes) Add(code, format string, args ...any) {
	if one := (Note{code, fmt.Sprintf(format, args...)}); !slices.Contains(*n, one) {
		*n = append(*n, one)
	}
}

// Meaning explains a code in the manual.
type Meaning struct {
	Code string
	Text string // a phrase without a capital and a full stop
}

// Codes is the part of the manual's list of codes that one package answers for.
type Codes struct {
	Title string // what the codes are said of
	List  []Meaning
}
