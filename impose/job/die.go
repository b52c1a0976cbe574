package job

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"quoin/geometry"
	"quoin/impose/say"
)

// Library is a die library with the places of its values.
type Library struct {
	Dies    []geometry.Die
	path    string
	sources []source
}

// At returns where the value of a key of a die stands in the file. The die is one
// of Library.Dies, by its index.
func (l *Library) At(die int, key string) Position { return l.sources[die].at(key) }

// Path returns where a file that a die names is, seen from the working folder.
func (l *Library) Path(file string) string { return beside(l.path, file) }

// beside returns where a file is that another one names.
func beside(path, file string) string {
	if filepath.IsAbs(file) {
		return file
	}
	return filepath.Join(filepath.Dir(path), file)
}

// Outlines returns the paths of the files that dies name for their outlines; a nil
// library has none.
func (l *Library) Outlines() (list []string) {
	if l == nil {
		return nil
	}
	for _, d := range l.Dies {
		if d.Outline != "" {
			list = append(list, l.Path(d.Outline))
		}
	}
	return list
}

// Find returns the die of a number, as written: 0042 is not 42. It is nil when
// there is none.
func (l *Library) Find(number string) *geometry.Die {
	for i := range l.Dies {
		if l.Dies[i].Number == number {
			return &l.Dies[i]
		}
	}
	return nil
}

// Only returns a library with no other die than that of the number.
func (l *Library) Only(number string) *Library {
	only := &Library{path: l.path}
	for i := range l.Dies {
		if l.Dies[i].Number == number {
			only.Dies, only.sources = l.Dies[i:i+1:i+1], l.sources[i:i+1:i+1]
		}
	}
	return only
}

// With returns a library that has one more die, which stands in no file.
func (l *Library) With(d geometry.Die) *Library {
	return &Library{path: l.path, Dies: append(slices.Clone(l.Dies), d), sources: append(slices.Clone(l.sources), source{path: l.path})}
}

// Meant hints at the number that was meant by one that no die has, or is "".
// Spreadsheets drop the leading zeros of what looks like a number.
func (l *Library) Meant(number string) string {
	numbers := make([]string, len(l.Dies))
	for i := range l.Dies {
		numbers[i] = l.Dies[i].Number
		if bare := strings.TrimLeft(numbers[i], "0"); bare != "" && bare == strings.TrimLeft(number, "0") {
			return fmt.Sprintf("did you mean %s? spreadsheets drop the leading zeros", numbers[i])
		}
	}
	return say.DidYouMean(number, numbers, "")
}
