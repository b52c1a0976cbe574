package impose

import (
	"fmt"

	"quoin/impose/say"
)

// remarks are what a stage has to say to people: warnings are looked at before
// the run, notes are good to know and ask for nothing.
type remarks struct{ warnings, notes say.Notes }

func (r *remarks) warn(code, text string, args ...any) {
	r.warnings = append(r.warnings, say.Note{Code: code, Text: fmt.Sprintf(text, args...)})
}

func (r *remarks) note(code, text string, args ...any) {
	r.notes = append(r.notes, say.Note{Code: code, Text: fmt.Sprintf(text, args...)})
}

// follow puts what was said later behind what was said before.
func (r *remarks) follow(later remarks) {
	r.warnings = append(r.warnings, later.warnings...)
	r.notes = append(r.notes, later.notes...)
}
