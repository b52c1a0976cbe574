package folder

import (
	"fmt"

	"quoin/impose/wholefile"
)

// ErrBusy says that another process builds the folder.
var ErrBusy = &busyError{}

type busyError struct{}

func (*busyError) Error() string { return "another start is building this folder" }

// Hint gives the way out.
func (*busyError) Hint() string {
	return "wait until it has ended; a start that was killed does not stand in the way"
}

// TakenError says that something else is where the folder would appear.
type TakenError struct{ Path, Text string }

func (e *TakenError) Error() string { return fmt.Sprintf("%s %s", e.Path, e.Text) }

// Hint gives the way out.
func (e *TakenError) Hint() string {
	return "name another folder, or move this one away; it is left as it is"
}

// WriteError says that the disk did not take what was written.
type WriteError struct {
	Path string
	Err  error
}

func (e *WriteError) Error() string {
	return fmt.Sprintf("building %s: %v", e.Path, wholefile.Cause(e.Err))
}

// Unwrap gives what the system said.
func (e *WriteError) Unwrap() error { return e.Err }

// Hint gives the way out.
func (e *WriteError) Hint() string {
	return "make room or mend the disk and start again: what is finished is kept"
}

func wrap(what string, err error) error { return fmt.Errorf("%s: %w", what, wholefile.Cause(err)) }
