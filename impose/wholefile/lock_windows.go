package wholefile

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lockedByte is the byte of a file that its lock is on, far behind the end of
// any: Windows lets nobody else read or write what is locked.
const lockedByte = 1 << 30 // times 4 GB

// Lock keeps a file to this process until it is closed or the process ends,
// however it ends. The error is ErrLocked where another has it. Folders can't
// be locked here.
func Lock(f *os.File) error {
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY,
		0, 1, 0, &windows.Overlapped{OffsetHigh: lockedByte})
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) || errors.Is(err, windows.ERROR_IO_PENDING) {
		return ErrLocked
	}
	return err
}
