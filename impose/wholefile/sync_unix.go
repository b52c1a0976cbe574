//go:build unix

package wholefile

import (
	"errors"
	"syscall"
)

// cantSync tells of file systems that sync no folders.
func cantSync(err error) bool {
	return errors.Is(err, syscall.EINVAL) || errors.Is(err, syscall.ENOTSUP)
}
