package wholefile

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// ErrLocked says that another process has locked a file.
var ErrLocked = errors.New("is locked by another process")

// DiskError says that the disk didn't do what was asked of it.
type DiskError struct {
	Doing string
	Err   error
}

// Error leaves out the working name, which nobody asked for.
func (e *DiskError) Error() string { return e.Doing + ": " + Cause(e.Err).Error() }

// Unwrap returns what the system said.
func (e *DiskError) Unwrap() error { return e.Err }

// Hint returns the way out.
func (e *DiskError) Hint() string {
	switch {
	case inUse(e.Err):
		return "close the file in the program that shows it, and start again"
	case errors.Is(e.Err, fs.ErrNotExist):
		return "make the folder first, or name one that is there"
	case errors.Is(e.Err, fs.ErrPermission), errors.Is(e.Err, syscall.EROFS):
		return "name a folder that this user may write to"
	case errors.Is(e.Err, syscall.ENOSPC), errors.Is(e.Err, syscall.EDQUOT), errors.Is(e.Err, syscall.EFBIG):
		return "make room, or name a place that has some; nothing half-made was left"
	case errors.Is(e.Err, syscall.ENAMETOOLONG):
		return "name it shorter"
	}
	return "look at the disk and the path, and try again"
}

// Cause returns what the system said without the paths that it said it of.
func Cause(err error) error {
	if p, ok := errors.AsType[*os.PathError](err); ok {
		return p.Err
	}
	if l, ok := errors.AsType[*os.LinkError](err); ok {
		return l.Err
	}
	return err
}
