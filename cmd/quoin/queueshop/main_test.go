package queueshop

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"quoin/geometry/trials"
	"quoin/impose/witness"
)

// The exit codes of quoin that these tests meet.
const (
	exitDone    = 0
	exitUsage   = 2
	exitFailed  = 1
	exitLeftOut = 7
)

// program is quoin as it is delivered, built once for all tests.
var program string

func TestMain(m *testing.M) { os.Exit(build(m)) }

// build lets tests wait side by side, makes the program, hides house files of the user's, and runs the tests.
func build(m *testing.M) int {
	trials.SideBySide(9)
	dir, err := os.MkdirTemp("", "quoin-queue-*")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	if program, err = witness.Program(dir); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	for _, name := range []string{"XDG_CONFIG_HOME", "AppData"} {
		os.Setenv(name, filepath.Join(dir, "nobody"))
	}
	return m.Run()
}
