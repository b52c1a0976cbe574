package wholefile

import (
	"errors"
	"os"
)

// DiskError says that the disk didn't do what was asked of it.
type DiskError struct {
	Doing string
	Err   error
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
