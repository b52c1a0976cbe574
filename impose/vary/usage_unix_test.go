//go:build unix

package vary_test

import (
	"runtime"
	"syscall"
	"testing"
)

// cpu gives the seconds of all processors that this process has used.
func cpu(t testing.TB) float64 {
	u := usage(t)
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}

// peakMiB gives the most memory that this process has had.
func peakMiB(t testing.TB) float64 {
	unit := 1024.0 // getrusage(2) of Linux counts KiB, that of macOS bytes
	if runtime.GOOS == "darwin" {
		unit = 1
	}
	return float64(usage(t).Maxrss) * unit / (1 << 20)
}

func usage(t testing.TB) syscall.Rusage {
	t.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return u
}
