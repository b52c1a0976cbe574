package wholefile

import (
	"errors"
	"os"
)

// ErrLocked says that another process has locked a file.
var ErrLocked = errors.New("is locked by another process")

// DiskError says that the disk didn't do what was asked of it.
type DiskError struct {
	Doing string
	Err   error
}

// Hint gives the way out, where there is one.
func (e *DiskError) Hint() string {
	if inUse(e.Err) {
		return "close the file in the program that shows it, and start again"
	}
	return ""
}

// Error leaves out the working name, which nobody asked for.
func (e *DiskError) Error() string { return e.Doing + ": " + Cause(e.Err).Error() }

// Unwrap gives what the system said.
func (e *DiskError) Unwrap() error { return e.Err }

// Cause gives what the system said without the paths that it said it of.
func Cause(err error) error {
	if p, ok := errors.AsType[*os.PathError](err); ok {
		return p.Err
	}
	if l, ok := errors.AsType[*os.LinkError](err); ok {
		return l.Err
	}
	return err
}
