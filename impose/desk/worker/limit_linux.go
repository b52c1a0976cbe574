package worker

import "golang.org/x/sys/unix"

// limit has the system refuse memory beyond so many bytes: of what is written
// to, so that address space which is only set aside doesn't count.
func limit(bytes uint64) {
	unix.Setrlimit(unix.RLIMIT_DATA, &unix.Rlimit{Cur: 2 * bytes, Max: 2 * bytes})
	unix.Setrlimit(unix.RLIMIT_CORE, &unix.Rlimit{})
}
