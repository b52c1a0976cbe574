package raster

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
)

// leastCode is how large a piece of machine code must be to be worth a file, in bytes.
const leastCode = 4 << 20

// codeToFile moves the machine code of PDFium, 21 megabytes of which drawing a page
// runs a few, from memory of this process to a file that nobody else sees: the system
// keeps what is run, and lets the rest go. It leaves what is known already, which
// others may take down meanwhile; where it can't be done the code stays where it is.
func codeToFile(known []span) {
	dir, err := os.UserCacheDir()
	if err != nil {
		return
	}
	for _, at := range compiledCode() {
		if slices.Contains(known, at) {
			continue
		}
		f, err := os.CreateTemp(filepath.Join(dir, "quoin"), "code-*")
		if err != nil {
			return
		}
		os.Remove(f.Name())
		toFile(f, at)
		f.Close()
	}
}

// span is a stretch of addresses.
type span struct{ from, to uintptr }

// compiledCode finds what was compiled: code that came from no file.
func compiledCode() (all []span) {
	f, err := os.Open("/proc/self/maps")
	if err != nil {
		return nil
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		var s span
		var may, offset, device string
		var inode int
		n, _ := fmt.Sscanf(lines.Text(), "%x-%x %s %s %s %d", &s.from, &s.to, &may, &offset, &device, &inode)
		if n == 6 && may == "r-xp" && inode == 0 && s.to-s.from >= leastCode && !strings.Contains(lines.Text(), "[") {
			all = append(all, s)
		}
	}
	return all
}

// toFile writes a piece of code to a file and lays that in its place, in one step.
// Nothing is touched before the file is mapped elsewhere.
func toFile(f *os.File, at span) {
	memory, err := os.Open("/proc/self/mem")
	if err != nil {
		return
	}
	defer memory.Close()
	size := at.to - at.from
	if _, err := io.Copy(f, io.NewSectionReader(memory, int64(at.from), int64(size))); err != nil {
		return
	}
	there, _, errno := syscall.Syscall6(syscall.SYS_MMAP, 0, size, syscall.PROT_READ|syscall.PROT_EXEC, syscall.MAP_PRIVATE, f.Fd(), 0)
	if errno != 0 {
		return
	}
	const mayMove, fixed = 1, 2 // MREMAP_MAYMOVE, MREMAP_FIXED
	if _, _, errno = syscall.Syscall6(syscall.SYS_MREMAP, there, size, size, mayMove|fixed, at.from, 0); errno != 0 {
		syscall.Syscall(syscall.SYS_MUNMAP, there, size, 0)
	}
}
