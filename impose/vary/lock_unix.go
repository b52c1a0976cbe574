//go:build unix

package vary

import (
	"os"
	"syscall"
)

// lock keeps a file to this process until it is closed or the process ends,
// however it ends.
func lock(f *os.File) error {
	return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
}
