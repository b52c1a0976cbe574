package main

import (
	"os"
	"strings"
	"testing"

	"quoin/impose/wholefile"
)

// TestVersionNamesTheBuild asks a program that was built without a version,
// as tests are.
func TestVersionNamesTheBuild(t *testing.T) {
	path, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	sum, err := wholefile.SHA256(path)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := printVersion(&b); err != nil {
		t.Fatal(err)
	}
	if got := b.String(); !strings.HasPrefix(got, "quoin ") || !strings.HasSuffix(got, " "+sum[:12]+"\n") {
		t.Errorf("got %q, want it to end in %s", got, sum[:12])
	}
}
