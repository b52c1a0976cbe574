package night

import (
	"path/filepath"
)

// SeenFrom returns a function that names files as they are seen from a folder,
// which need not be there yet. A night names its files so, not as they were
// seen from wherever the command was started: it verifies where it stands, and
// the same orders give the same bytes from any working folder.
func SeenFrom(folder string) func(path string) string {
	base := whole(folder)
	return func(path string) string {
		seen, err := filepath.Rel(base, whole(path))
		if err != nil { // on another drive
			return filepath.ToSlash(path)
		}
		return filepath.ToSlash(seen)
	}
}

// whole returns a path from the root. Links on its way are followed, or ".." would
// lead elsewhere than it reads; the last name is kept as it is.
func whole(path string) string {
	abs, err := filepath.Abs(path)
	if err != nil {
		return path
	}
	dir, last := filepath.Split(abs)
	if real, err := filepath.EvalSymlinks(dir); err == nil {
		return filepath.Join(real, last)
	}
	return abs
}
