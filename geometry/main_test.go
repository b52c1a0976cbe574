package geometry

import (
	"flag"
	"os"
	"testing"
)

// The properties are cheap: prove them on twenty times the usual number of
// draws, unless the command line says otherwise.
func TestMain(m *testing.M) {
	flag.Set("rapid.checks", "2000")
	flag.Parse()
	os.Exit(m.Run())
}

// tester is what a *testing.T and a *rapid.T have in common.
type tester interface {
	Helper()
	Errorf(format string, args ...any)
	Fatal(args ...any)
	Fatalf(format string, args ...any)
}
