//go:build unix

package wholefile

import (
	"errors"
	"os"
	"syscall"
)

// Lock keeps a file, or a folder, to this process until it is closed or the
// process ends, however it ends. The error is ErrLocked where another has it.
func Lock(f *os.File) error {
	err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return ErrLocked
	}
	return err
}
