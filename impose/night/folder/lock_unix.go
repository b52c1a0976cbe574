//go:build unix

package folder

import (
	"errors"
	"os"

	"quoin/impose/wholefile"
)

// errMoved says that the folder that was locked is no longer under its name.
var errMoved = errors.New("moved")

// lock is an advisory lock on the folder itself. The system takes it away with
// the process, so that no kill leaves a stale one.
type lock struct{ dir *os.File }

func lockFolder(path string) (*lock, error) {
	dir, err := os.Open(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil, errMoved
	}
	if err != nil {
		return nil, err
	}
	err = wholefile.Lock(dir)
	if err == nil {
		err = stillThere(dir, path)
	} else if errors.Is(err, wholefile.ErrLocked) {
		err = ErrBusy
	}
	if err != nil {
		dir.Close()
		return nil, err
	}
	return &lock{dir}, nil
}

// stillThere sees to it that the builder before us has not moved the folder to
// its place while we waited for the system.
func stillThere(dir *os.File, path string) error {
	ours, err := dir.Stat()
	if err != nil {
		return err
	}
	named, err := os.Stat(path)
	if err != nil || !os.SameFile(ours, named) {
		return errMoved
	}
	return nil
}

func (l *lock) release() error { return l.dir.Close() }
