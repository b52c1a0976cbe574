package thrift

import (
	"bufio"
	"debug/elf"
	"fmt"
	"os"
	"strings"
	"sync"
	"syscall"
)

// pageOut asks the system to take back what it can read again, MADV_PAGEOUT of Linux
// 5.4: of what could have been written to, pages that were not, such as those of the
// renderer's module, which is read once. Where the system doesn't know it or won't,
// they stay.
const pageOut = 21

// releasable gives the path of the program; "" where it is left alone: one that the
// system may load anywhere has constants that hold addresses, which were written when
// it was loaded and would be lost.
var releasable = sync.OnceValue(func() string {
	program, err := os.Readlink("/proc/self/exe")
	if err != nil {
		return ""
	}
	if kind, err := elf.Open(program); err != nil || kind.Close() != nil || kind.Type != elf.ET_EXEC {
		return ""
	}
	return program
})

// releaseProgram lets go of the pages of the program's file that nothing can have
// written to: code and constants. It is no harm where that can't be done.
func releaseProgram() {
	program := releasable()
	if program == "" {
		return
	}
	f, err := os.Open("/proc/self/maps")
	if err != nil {
		return
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		line := lines.Text()
		var from, to uintptr
		var may string
		if n, _ := fmt.Sscanf(line, "%x-%x %s", &from, &to, &may); n < 3 || len(may) < 4 || may[3] != 'p' || !strings.HasSuffix(line, " "+program) {
			continue
		}
		advice := uintptr(syscall.MADV_DONTNEED)
		if may[1] != '-' {
			advice = pageOut
		}
		syscall.Syscall(syscall.SYS_MADVISE, from, to-from, advice)
	}
}
