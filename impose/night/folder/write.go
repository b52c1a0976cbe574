package folder

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// Write makes a file of the folder: fill writes what is in it. The file is
// finished, and kept by later starts, once Write returns without an error.
// Before that, checks may look at the whole file under another name; what one of
// them refuses is never there. Errors of the disk are of the kind say.Disk; those of
// fill and of checks come back as they are. Names that begin with a dot are for
// the making only and don't last.
func (f *Folder) Write(name string, fill func(io.Writer) error, checks ...func(path string) error) (sum string, err error) {
	if filepath.Base(name) != name {
		return "", fmt.Errorf("%q is no plain file name", name)
	}
	if f.done {
		return "", fmt.Errorf("%s is finished", f.place)
	}
	sum, err = f.create(name, fill, checks...)
	if err != nil {
		return "", err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.sums[name] = sum
	return sum, f.note(line(name, sum))
}

// Remove takes a file away that was found to be wrong.
func (f *Folder) Remove(name string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.done || f.sums[name] == "" {
		return nil
	}
	delete(f.sums, name) // its line stays in the journal and names nothing
	if err := os.Remove(filepath.Join(f.work, name)); err != nil {
		return failed(f.place, err)
	}
	return nil
}

// create writes a file whole under its name. The folder is synced when all are
// there.
func (f *Folder) create(name string, fill func(io.Writer) error, checks ...func(path string) error) (string, error) {
	sum, err := wholefile.Write(filepath.Join(f.work, name), wholefile.Options{Working: ".tmp-" + name, SyncLater: true}, fill, checks...)
	if disk, ok := errors.AsType[*say.Refusal](err); ok && disk.Kind == say.Disk {
		return "", failed(f.place, disk.Err)
	}
	return sum.SHA256, err
}

// syncFolder makes renames in a folder last through a power cut.
func syncFolder(path string) error {
	if err := wholefile.SyncFolder(path); err != nil {
		return failed(path, err)
	}
	return nil
}
