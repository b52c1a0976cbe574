package wholefile

import (
	"errors"
	"io/fs"
	"os"
	"syscall"

	"quoin/impose/say"
)

// ErrLocked says that another process has locked a file.
var ErrLocked = errors.New("is locked by another process")

// ofDisk says that the disk didn't do what was asked of it. The working name is left
// out, which nobody asked for.
func ofDisk(doing string, err error) error {
	return &say.Refusal{Kind: say.Disk, Text: doing, Err: Cause(err), Way: wayOut(err)}
}

// wayOut returns what to do about an error of the disk.
func wayOut(err error) string {
	switch {
	case inUse(err):
		return "close the file in the program that shows it, and start again"
	case errors.Is(err, fs.ErrNotExist):
		return "make the folder first, or name one that is there"
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return "name a folder that this user may write to"
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT), errors.Is(err, syscall.EFBIG):
		return "make room, or name a place that has some; nothing half-made was left"
	case errors.Is(err, syscall.ENAMETOOLONG):
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
