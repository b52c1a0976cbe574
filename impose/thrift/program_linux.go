package thrift

import (
	"bufio"
	"debug/elf"
	"fmt"
	"os"
	"strings"
	"syscall"
)

// releaseProgram lets go of the pages of the program's file that nothing can have
// written to: code and constants. It is no harm where that can't be done. A program
// that the system may load anywhere is left alone: its constants hold addresses that
// were written when it was loaded, and would be lost.
func releaseProgram() {
	program, err := os.Readlink("/proc/self/exe")
	if err != nil {
		return
	}
	if kind, err := elf.Open(program); err != nil || kind.Close() != nil || kind.Type != elf.ET_EXEC {
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
		if n, _ := fmt.Sscanf(line, "%x-%x %s", &from, &to, &may); n < 3 || len(may) < 4 || may[1] != '-' || may[3] != 'p' || !strings.HasSuffix(line, " "+program) {
			continue
		}
		syscall.Syscall(syscall.SYS_MADVISE, from, to-from, syscall.MADV_DONTNEED)
	}
}
