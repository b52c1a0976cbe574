package impose

import (
	"fmt"

	"quoin/impose/artwork"
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

// found hands on what was found in an artwork: what is no mere notice is a warning.
func (r *remarks) found(f artwork.Finding, text string) {
	tell := r.warn
	if f.Level == artwork.Notice {
		tell = r.note
	}
	tell(f.Code, "%s", text)
}

// follow puts what was said later behind what was said before.
func (r *remarks) follow(later remarks) {
	r.warnings = append(r.warnings, later.warnings...)
	r.notes = append(r.notes, later.notes...)
}
