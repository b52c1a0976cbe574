//go:build unix

package broker

import "golang.org/x/sys/unix"

// roomFor returns how much the store may take: nine tenths of what the disk has
// free, so that a full queue does not fill the machine.
func roomFor(dir string) int64 {
	var s unix.Statfs_t
	if err := unix.Statfs(dir, &s); err != nil {
		return -1
	}
	return int64(s.Bavail) * int64(s.Bsize) / 10 * 9
}
