package thrift

import (
	"os"
	"runtime"
	"strconv"
	"strings"
	"testing"
)

// resident gives the pages of files that are in the memory of this process, in kB.
func resident(t *testing.T) int {
	t.Helper()
	text, err := os.ReadFile("/proc/self/status")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), "RssFile:")
	n, err := strconv.Atoi(strings.Fields(rest)[0])
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// Most of a program that has started is given back, and it runs on.
func TestReleaseGivesTheProgramBack(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("needs /proc")
	}
	before := resident(t)
	Release()
	if after := resident(t); after > before*3/4 {
		t.Errorf("%d kB of files are in memory, and were %d", after, before)
	}
}
