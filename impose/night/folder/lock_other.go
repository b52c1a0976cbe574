//go:build !unix

package folder

import (
	"errors"
	"os"

	"quoin/impose/wholefile"
)

// errMoved says that the folder that was locked is no longer under its name.
var errMoved = errors.New("moved")

// lock is a lock on a file beside the folder, which can't be locked itself. The
// system takes it away with the process; what is left of a kill is an empty file
// that the next builder locks.
type lock struct{ file *os.File }

func lockFolder(path string) (*lock, error) {
	f, err := os.OpenFile(path+".lock", os.O_CREATE|os.O_RDWR, 0o666)
	if err != nil {
		return nil, err
	}
	if err = wholefile.Lock(f); err == nil {
		_, err = os.Stat(path)
	}
	switch {
	case err == nil:
		return &lock{f}, nil
	case errors.Is(err, wholefile.ErrLocked):
		err = ErrBusy
	case errors.Is(err, os.ErrNotExist):
		err = errMoved // by the builder before us, who has just finished
	}
	f.Close()
	return nil, err
}

// release takes the file away too, unless another builder waits with it open.
func (l *lock) release() error {
	err := l.file.Close()
	os.Remove(l.file.Name())
	return err
}
