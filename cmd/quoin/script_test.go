package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"quoin/geometry/trials"
)

// TestMain lets the scripts call quoin as a program of its own, and a test more go than
// there are processors: programs wait for disks and for their ends.
func TestMain(m *testing.M) {
	if program := filepath.Base(os.Args[0]); strings.TrimSuffix(program, ".exe") != "quoin" { // which takes the script's environment
		withoutUser()
	}
	testscript.Main(tests{m}, map[string]func(){
		"quoin": func() {
			// Hashing this large binary at each start takes longer than most of what is asked of it.
			versionText = func() string { return "(devel) of tests" }
			os.Exit(run(context.Background(), streams{in: os.Stdin, out: os.Stdout, err: os.Stderr}, os.Args[1:]))
		},
	})
}

// tests are those of this package, with a cache of their own.
type tests struct{ *testing.M }

func (m tests) Run() int {
	trials.SideBySide(runtime.NumCPU() + 1)
	cache, err := newCache()
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(cache)
	os.Setenv("XDG_CACHE_HOME", cache)
	return m.M.Run()
}

// withoutUser hides the user's own folder, whose house file no test may take.
func withoutUser() {
	none := filepath.Join(os.TempDir(), "no-such-user-of-quoin")
	for _, name := range []string{"XDG_CONFIG_HOME", "AppData"} {
		os.Setenv(name, none)
	}
	if runtime.GOOS == "darwin" {
		os.Setenv("HOME", none)
	}
}

// TestScripts runs the command lines under testdata/script, each with the
// streams and the exit code that it must give. UPDATE=1 rewrites the expected
// streams; then read the diff.
func TestScripts(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	t.Parallel()
	testscript.Run(t, testscript.Params{
		Dir:           filepath.Join("testdata", "script"),
		UpdateScripts: os.Getenv("UPDATE") != "",
		Setup: func(env *testscript.Env) error {
			env.Setenv("SAMPLES", filepath.Join(root, "samples"))
			env.Setenv("TESTDATA", filepath.Join(root, "testdata"))
			env.Setenv("XDG_CACHE_HOME", os.Getenv("XDG_CACHE_HOME"))
			return nil
		},
		// [long] begins what only the long pass does.
		Condition: func(condition string) (bool, error) {
			if condition != "long" {
				return false, fmt.Errorf("%q is no condition here", condition)
			}
			return trials.Long(), nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits,
		},
	})
}

// exits runs a program that must end with the code: exits 4 quoin impose ...
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE PROGRAM ARGS")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := "0"
	var ended *exec.ExitError
	switch {
	case errors.As(err, &ended):
		got = strconv.Itoa(ended.ExitCode())
	case err != nil:
		ts.Fatalf("%v", err)
	}
	if got != args[0] {
		ts.Fatalf("exit code %s, want %s (%v)", got, args[0], err)
	}
}
