package main

import (
	"os"
	"path/filepath"
	"testing"
)

// newCache gives a cache folder that holds no plates. The renderer in it is the
// user's: compiling it takes the processors half a minute.
func newCache(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	base, err := os.UserCacheDir()
	if err != nil {
		return dir
	}
	renderer := filepath.Join(base, "quoin", "renderer")
	if err := os.MkdirAll(renderer, 0o777); err != nil {
		return dir
	}
	if err := os.Mkdir(filepath.Join(dir, "quoin"), 0o777); err != nil {
		t.Fatal(err)
	}
	// Where links can't be made it is compiled once more.
	_ = os.Symlink(renderer, filepath.Join(dir, "quoin", "renderer"))
	return dir
}
