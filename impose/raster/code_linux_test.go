package raster

import (
	"context"
	"slices"
	"testing"
)

// A renderer's machine code is a file's when it has started, and those that run beside
// it keep theirs.
func TestCodeLiesInAFile(t *testing.T) {
	before := compiledCode()
	for range 2 {
		r, err := New(context.Background(), func(string) {})
		if err != nil {
			t.Fatal(err)
		}
		defer r.Close()
		if more := slices.DeleteFunc(compiledCode(), func(s span) bool { return slices.Contains(before, s) }); len(more) > 0 {
			t.Errorf("code lies in memory of its own at %x", more)
		}
	}
}
