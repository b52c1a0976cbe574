package folder

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"quoin/impose/wholefile"
)

// provisional begins the key of a folder that the next start may replace.
const provisional = "provisional "

// replaceable reports whether a provisional folder holds nothing else than what
// was written there: what a person added or changed is not thrown away. A file
// that is missing does no harm.
func (f *Folder) replaceable(sums map[string]string) error {
	if err := dropHidden(f.place); err != nil {
		return err
	}
	entries, err := os.ReadDir(f.place)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.Name() == Sums {
			continue
		}
		if got, err := wholefile.SHA256(filepath.Join(f.place, e.Name())); err != nil || got != sums[e.Name()] {
			return taken(f.place, "holds nothing final, but its "+e.Name()+" was added or changed since")
		}
	}
	return nil
}

// clear takes away a provisional folder's files, the list of them last, so that
// a kill in between leaves one that still gives way.
func (f *Folder) clear() error {
	text, err := os.ReadFile(filepath.Join(f.place, Sums))
	if errors.Is(err, fs.ErrNotExist) {
		return nil // somebody took it away
	}
	if err != nil {
		return err
	}
	_, sums, _ := parse(text)
	if err := f.replaceable(sums); err != nil {
		return err
	}
	var names []string
	for name := range sums {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range append(names, Sums) {
		if err := os.Remove(filepath.Join(f.place, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return failed(f.place, err)
		}
	}
	return nil
}
