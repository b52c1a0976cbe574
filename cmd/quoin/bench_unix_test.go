//go:build unix

package main

import (
	"os"
	"runtime"
	"syscall"
	"testing"
)

// peakKiB gives the most memory that an ended process has had.
func peakKiB(b *testing.B, ended *os.ProcessState) int64 {
	b.Helper()
	usage, ok := ended.SysUsage().(*syscall.Rusage)
	if !ok {
		b.Fatal("no resource usage")
	}
	if runtime.GOOS == "darwin" { // whose getrusage(2) counts bytes, not KiB
		return int64(usage.Maxrss) / 1024
	}
	return int64(usage.Maxrss)
}
