package wholefile

import (
	"errors"
	"os"
	"time"

	"golang.org/x/sys/windows"
)

// heldFor is how long a rename waits for those who look at every new file, such
// as virus scanners and indexers. The go command waits as long for them
// (cmd/internal/robustio in Go's source).
const heldFor = 2 * time.Second

// Rename moves a file or a folder, over a file that is there. What another
// program holds open can't be moved or replaced on Windows: whoever holds it for
// a moment only is waited for.
func Rename(from, to string) error {
	wait := time.Millisecond
	for end := time.Now().Add(heldFor); ; wait *= 2 {
		err := os.Rename(from, to)
		if err == nil || !inUse(err) || time.Now().Add(wait).After(end) {
			return err
		}
		time.Sleep(wait)
	}
}

// inUse tells of files that another program holds open. A file that is open
// without leave to delete it is reported in either way.
func inUse(err error) bool {
	return errors.Is(err, windows.ERROR_SHARING_VIOLATION) || errors.Is(err, windows.ERROR_ACCESS_DENIED)
}
