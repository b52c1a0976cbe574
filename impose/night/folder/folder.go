// Package folder makes a folder of files appear whole, or not at all, however
// often its making is broken off.
//
// The folder is built beside its place, under a hidden name. Each finished file
// is synced, renamed and then noted in a journal with its SHA-256, so that a
// second start after a kill, a full disk or a power cut keeps what is finished
// and true, and makes only the rest. Two starts can't work at once. At the end
// one rename puts the folder in its place, with the sums in SHA256SUMS.
package folder

import (
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"quoin/impose/wholefile"
)

// Sums is the file that lists the others with their SHA-256, in the form that
// sha256sum -c reads. Its first line, a comment, holds the key.
const Sums = "SHA256SUMS"

// journal is the sums as they grow.
const journal = ".journal"

// Folder is one that is being built, or is found to be there already.
type Folder struct {
	place string // where it appears
	work  string // where it is built
	key   string
	lock  *lock
	done  bool
	// replaces tells that a folder which was only provisional is in its place.
	replaces bool
	fresh    bool // an earlier start with another key was thrown away

	mu     sync.Mutex
	log    *os.File
	synced time.Time         // when the journal was
	sums   map[string]string // SHA-256 of each finished file, by name
	kept   int
}

// Open begins to build the folder at place, or goes on where an earlier start
// with the same key stopped. The key stands for all that the files depend on:
// what an earlier start left under another key is thrown away.
//
// A folder that is already there is checked against its sums; with the same
// key Done says so, otherwise the error is of the kind say.Taken. One that is only
// provisional is built again, and gives way to the new one. A folder that
// another process is building gives ErrBusy.
func Open(place, key string) (*Folder, error) {
	place = filepath.Clean(place)
	f := &Folder{
		place: place, key: key, sums: map[string]string{},
		work: filepath.Join(filepath.Dir(place), "."+filepath.Base(place)+".building"),
	}
	for range 10 {
		there, err := f.isThere()
		if there || err != nil {
			return f, err
		}
		if err := os.MkdirAll(f.work, 0o777); err != nil {
			return nil, wrap("can't build beside "+place, err)
		}
		l, err := lockFolder(f.work)
		if errors.Is(err, errMoved) {
			continue // its builder has just finished: look again
		}
		if err != nil {
			return nil, err
		}
		f.lock = l
		if err := f.resume(); err != nil {
			f.Close()
			return nil, err
		}
		return f, nil
	}
	return nil, fmt.Errorf("%s comes and goes: %w", f.work, ErrBusy)
}

// Done reports whether the folder was already there, whole, from the same key.
func (f *Folder) Done() bool { return f.done }

// Restarted reports whether an earlier start from other inputs was thrown away.
func (f *Folder) Restarted() bool { return f.fresh }

// Kept returns the number of files that an earlier start had finished.
func (f *Folder) Kept() int { return f.kept }

// Sum returns the SHA-256 of a finished file, "" when it is not finished.
func (f *Folder) Sum(name string) string {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.sums[name]
}

// Open opens a finished file.
func (f *Folder) Open(name string) (fs.File, error) { return os.DirFS(f.dir()).Open(name) }

// Path returns where a finished file is now; Commit moves it.
func (f *Folder) Path(name string) string { return filepath.Join(f.dir(), name) }

func (f *Folder) dir() string {
	if f.done {
		return f.place
	}
	return f.work
}

// isThere looks for the folder in its place.
func (f *Folder) isThere() (bool, error) {
	info, err := os.Stat(f.place)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	foreign := func(text string) error { return taken(f.place, text) }
	if !info.IsDir() {
		return false, foreign("is a file")
	}
	text, err := os.ReadFile(filepath.Join(f.place, Sums))
	if errors.Is(err, fs.ErrNotExist) {
		entries, err := os.ReadDir(f.place)
		if err == nil && len(entries) > 0 {
			err = foreign("holds other files")
		}
		return false, err
	}
	if err != nil {
		return false, err
	}
	key, sums, _ := parse(text)
	if strings.HasPrefix(key, provisional) {
		f.replaces, err = true, f.replaceable(sums)
		return false, err
	}
	if key != f.key {
		return false, foreign("holds what was built from other inputs")
	}
	for name, sum := range sums {
		if got, err := wholefile.SHA256(filepath.Join(f.place, name)); err != nil || got != sum {
			return false, foreign(fmt.Sprintf("is finished, but its %s is missing or was changed since", name))
		}
	}
	f.done, f.sums = true, sums
	return true, dropHidden(f.place) // of a start that was killed right behind its rename
}

// resume reads the journal of an earlier start, keeps what is true and takes
// away the rest.
func (f *Folder) resume() error {
	path := filepath.Join(f.work, journal)
	text, err := os.ReadFile(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	key, sums, whole := parse(text)
	if key == f.key {
		for name, sum := range sums {
			if got, err := wholefile.SHA256(filepath.Join(f.work, name)); err == nil && got == sum {
				f.sums[name] = sum
			}
		}
	} else {
		f.fresh, whole = key != "", 0
	}
	f.kept = len(f.sums)
	entries, err := os.ReadDir(f.work)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if _, keep := f.sums[e.Name()]; keep || e.Name() == journal {
			continue
		}
		if err := os.RemoveAll(filepath.Join(f.work, e.Name())); err != nil {
			return err
		}
	}
	if f.log, err = os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o666); err != nil {
		return err
	}
	// A line that was cut off by the kill is written anew.
	if err := f.log.Truncate(int64(whole)); err != nil {
		return err
	}
	if _, err := f.log.Seek(0, 2); err != nil {
		return err
	}
	if whole == 0 {
		if err := f.note("# " + f.key + "\n"); err != nil {
			return err
		}
	}
	return syncFolder(f.work)
}

// note adds a line to the journal. It is synced once a second only: files are
// checked against their sums, so a line that a power cut takes away costs the
// making of its file again, and nothing else.
func (f *Folder) note(line string) error {
	_, err := f.log.WriteString(line)
	if now := time.Now(); err == nil && now.Sub(f.synced) > time.Second {
		f.synced = now
		err = f.log.Sync()
	}
	if err != nil {
		return failed(f.place, err)
	}
	return nil
}

// Commit makes the folder appear. Hidden files, such as the journal, are not
// part of it.
func (f *Folder) Commit() error { return f.commit("") }

// CommitProvisional makes the folder appear as one that nobody needs to keep:
// the next start takes its place, whatever its key.
func (f *Folder) CommitProvisional() error { return f.commit(provisional) }

func (f *Folder) commit(kind string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.done {
		return nil
	}
	var b strings.Builder
	b.WriteString("# " + kind + f.key + "\n")
	for _, name := range f.names() {
		b.WriteString(line(name, f.sums[name]))
	}
	if _, err := f.create(Sums, func(w io.Writer) error {
		_, err := io.WriteString(w, b.String())
		return err
	}); err != nil {
		return err
	}
	if err := syncFolder(f.work); err != nil {
		return err
	}
	if f.replaces {
		if err := f.clear(); err != nil {
			return err
		}
	}
	// Windows moves no folder in which a file is open.
	if err := f.log.Close(); err != nil {
		return failed(f.place, err)
	}
	f.log = nil
	os.Remove(f.place) // an empty folder there gives way; anything else makes the rename fail
	if err := wholefile.Rename(f.work, f.place); err != nil {
		return failed(f.place, err)
	}
	f.done = true
	if err := syncFolder(filepath.Dir(f.place)); err != nil {
		return err
	}
	return dropHidden(f.place)
}

// names lists the finished files that are not hidden, sorted.
func (f *Folder) names() []string {
	var names []string
	for name := range f.sums {
		if !strings.HasPrefix(name, ".") {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// Close lets others build the folder. What is finished stays for them.
func (f *Folder) Close() error {
	var err error
	if f.log != nil {
		err = f.log.Close()
	}
	if f.lock != nil {
		err = errors.Join(err, f.lock.release())
	}
	return err
}

// line is what sha256sum writes for a file.
func line(name, sum string) string { return sum + "  " + name + "\n" }

// parse reads a journal or a list of sums, and gives the length of its whole
// lines: what a kill cut off, or a disk mangled, ends the reading.
func parse(text []byte) (key string, sums map[string]string, whole int) {
	sums = map[string]string{}
	for l := range strings.Lines(string(text)) {
		entry, ended := strings.CutSuffix(l, "\n")
		if !ended {
			break
		}
		if whole == 0 {
			k, ok := strings.CutPrefix(entry, "# ")
			if !ok {
				break
			}
			key = k
		} else {
			sum, name, ok := strings.Cut(entry, "  ")
			if raw, err := hex.DecodeString(sum); !ok || err != nil || len(raw) != 32 || filepath.Base(name) != name {
				break
			}
			sums[name] = sum
		}
		whole += len(l)
	}
	return key, sums, whole
}

// dropHidden takes away what was for the making only: the hidden files that the
// journal lists, and at last the journal.
func dropHidden(dir string) error {
	text, err := os.ReadFile(filepath.Join(dir, journal))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	_, sums, _ := parse(text)
	for name := range sums {
		if !strings.HasPrefix(name, ".") {
			continue
		}
		if err := os.Remove(filepath.Join(dir, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return os.Remove(filepath.Join(dir, journal))
}
