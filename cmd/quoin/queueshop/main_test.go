package queueshop

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"quoin/geometry/trials"
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
	trials.SideBySide(4)
	dir, err := os.MkdirTemp("", "quoin-queue-*")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	program = filepath.Join(dir, "quoin")
	if out, err := exec.Command("go", "build", "-trimpath", "-o", program, "quoin/cmd/quoin").CombinedOutput(); err != nil {
		fmt.Fprintf(os.Stderr, "%v\n%s", err, out)
		return 1
	}
	for _, name := range []string{"XDG_CONFIG_HOME", "AppData"} {
		os.Setenv(name, filepath.Join(dir, "nobody"))
	}
	return m.Run()
}
