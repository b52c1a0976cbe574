package job

import (
	"path/filepath"

	"quoin/geometry"
)

// Library is a die library with the places of its values.
type Library struct {
	Dies    []geometry.Die
	path    string
	sources []source
}

// At gives where the value of a key of a die stands in the file. The die is one
// of Library.Dies, by its index.
func (l *Library) At(die int, key string) Position { return l.sources[die].at(key) }

// Path gives where a file that a die names is, seen from the working folder.
func (l *Library) Path(file string) string { return beside(l.path, file) }

// beside gives where a file is that another one names.
func beside(path, file string) string {
	if filepath.IsAbs(file) {
		return file
	}
	return filepath.Join(filepath.Dir(path), file)
}
