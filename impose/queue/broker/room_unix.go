//go:build unix

package broker

import "golang.org/x/sys/unix"

// spare is what is left free at least, where the disk has twice as much: the
// engine writes its states beside the messages.
const spare = 32 << 20

// roomFor returns how much the store may take: nine tenths of what the disk has
// free, so that a full queue does not fill the machine.
func roomFor(dir string) int64 {
	var s unix.Statfs_t
	if err := unix.Statfs(dir, &s); err != nil {
		return -1
	}
	free := int64(s.Bavail) * int64(s.Bsize)
	return max(free-max(free/10, spare), free/2)
}
