package main

import (
	"os"
	"path/filepath"
)

// newCache makes a cache folder that holds no plates. The renderer in it is the
// user's: compiling it takes the processors half a minute.
func newCache() (dir string, err error) {
	if dir, err = os.MkdirTemp("", "quoin-cache-*"); err != nil {
		return "", err
	}
	base, err := os.UserCacheDir()
	if err != nil {
		return dir, nil
	}
	renderer := filepath.Join(base, "quoin", "renderer")
	if err := os.MkdirAll(renderer, 0o777); err != nil {
		return dir, nil
	}
	// Where links can't be made it is compiled once more.
	if err = os.Mkdir(filepath.Join(dir, "quoin"), 0o777); err == nil {
		_ = os.Symlink(renderer, filepath.Join(dir, "quoin", "renderer"))
	}
	return dir, err
}
