// Package folder is a folder of plain files as the desk sees it: job files,
// presses, die rooms, order lists and artworks, and no way out of it. It keeps
// nothing of its own but what it remembers of files that have not changed.
package folder

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// Folder is an opened folder. It is safe for concurrent use.
type Folder struct {
	Path string // absolute, with no symbolic link on the way
	// House is the user's own house file, which jobs begin from as they do for
	// quoin impose; "" is none.
	House string

	root  *os.Root
	mu    sync.Mutex
	seen  map[string]known  // by path in the folder
	sums  map[string]summed // of files' contents
	told  map[string]bool   // files outside that the user's own house file names
	write sync.Mutex        // one write at a time, so that a version that was looked at is the one replaced
}

// Open opens a folder.
func Open(path string) (*Folder, error) {
	abs, err := filepath.Abs(path)
	if err == nil {
		abs, err = filepath.EvalSymlinks(abs)
	}
	if err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(abs)
	if err != nil {
		return nil, err
	}
	return &Folder{Path: abs, root: root, seen: map[string]known{}, sums: map[string]summed{}}, nil
}

// Close closes it.
func (f *Folder) Close() error { return f.root.Close() }

// errOutside is of a path that leads out of the folder.
var errOutside = errors.New("leads out of the folder")

// IsOutside reports whether a path was refused because it leads out.
func IsOutside(err error) bool { return errors.Is(err, errOutside) }

func outside(path string) error {
	return &say.Refusal{Kind: say.Usage, Text: path, Err: errOutside, Way: "keep all of a job's files in the folder that the desk has opened"}
}

// Abs returns where a path within the folder is, with slashes as separators. It
// refuses what is hidden and what leads out, over symbolic links too; the file
// need not exist.
func (f *Folder) Abs(rel string) (string, error) {
	local := filepath.FromSlash(rel)
	if !filepath.IsLocal(local) || strings.ContainsAny(rel, "\x00\\") {
		return "", outside(rel)
	}
	for _, part := range strings.Split(rel, "/") {
		if strings.HasPrefix(part, ".") && part != "." {
			return "", outside(rel)
		}
	}
	abs := filepath.Join(f.Path, local)
	return abs, f.Holds(abs)
}

// Holds refuses a path that leads out of the folder.
func (f *Folder) Holds(path string) error {
	at := filepath.Clean(path)
	if f.trusts(at) {
		return nil
	}
	for {
		real, err := filepath.EvalSymlinks(at)
		if err == nil {
			if real != f.Path && !strings.HasPrefix(real, f.Path+string(filepath.Separator)) {
				return outside(f.NameOf(path))
			}
			return nil
		}
		if _, err := os.Lstat(at); err == nil { // a link into nowhere
			return outside(f.NameOf(path))
		}
		up := filepath.Dir(at)
		if up == at {
			return outside(f.NameOf(path))
		}
		at = up
	}
}

// Trust lets files outside the folder be read: the user's own house file and what
// that names, which is for nobody else to say.
func (f *Folder) Trust(paths []string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.told = map[string]bool{}
	for _, p := range paths {
		f.told[filepath.Clean(p)] = true
	}
}

func (f *Folder) trusts(path string) bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.told[path]
}

// stat looks at a file that the folder holds or that is trusted.
func (f *Folder) stat(abs string) (os.FileInfo, error) {
	if err := f.Holds(abs); err != nil {
		return nil, err
	}
	if f.trusts(filepath.Clean(abs)) {
		return os.Stat(abs)
	}
	return f.root.Stat(filepath.FromSlash(f.Rel(abs)))
}

// NameOf names a file for people: as seen from the folder, or one outside in full.
func (f *Folder) NameOf(abs string) string {
	if rel := f.Rel(abs); filepath.IsLocal(filepath.FromSlash(rel)) {
		return rel
	}
	return filepath.ToSlash(abs)
}

// Rel returns a path as seen from the folder, with slashes.
func (f *Folder) Rel(path string) string {
	rel, err := filepath.Rel(f.Path, path)
	if err != nil {
		return filepath.ToSlash(path)
	}
	return filepath.ToSlash(rel)
}

// Short writes paths in a text as seen from the folder.
func (f *Folder) Short(text string) string {
	return strings.ReplaceAll(text, f.Path+string(filepath.Separator), "")
}

// Read reads a file of at most so many bytes. What is no regular file is refused.
func (f *Folder) Read(rel string, most int64) ([]byte, error) {
	data, err := f.begin(rel, most+1)
	if err == nil && int64(len(data)) > most {
		err = say.Refuse(say.BadFile, "", "%s is larger than %s", rel, say.Count(most, "byte"))
	}
	return data, err
}

// begin reads at most so many bytes of a file, from its beginning.
func (f *Folder) begin(rel string, most int64) ([]byte, error) {
	if _, err := f.Abs(rel); err != nil {
		return nil, err
	}
	file, err := f.root.Open(filepath.FromSlash(rel))
	if err != nil {
		return nil, err
	}
	defer file.Close()
	if info, err := file.Stat(); err != nil || !info.Mode().IsRegular() {
		return nil, &fs.PathError{Op: "open", Path: rel, Err: fs.ErrInvalid}
	}
	return io.ReadAll(io.LimitReader(file, most))
}

// Named opens a file that a job names, by the path that leads there.
func (f *Folder) Named(path string, most int64) ([]byte, error) {
	if err := f.Holds(path); err != nil {
		return nil, err
	}
	real, err := filepath.EvalSymlinks(path)
	if err != nil {
		return nil, err
	}
	return f.Read(f.Rel(real), most)
}

// Version tells one content of a file from another.
func Version(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:8])
}

// ConflictError says that a file is not what a change was made on.
type ConflictError struct {
	Path string
	Now  []byte // what it holds
}

func (e *ConflictError) Error() string { return e.Path + " was changed meanwhile" }

// Replace makes a file hold something else, whole, if it still holds the version
// that the change was made on; a *ConflictError says that it doesn't. The version
// "" is of a file that is not there yet.
func (f *Folder) Replace(rel, version string, data []byte) error {
	f.write.Lock()
	defer f.write.Unlock()
	abs, err := f.Abs(rel)
	if err != nil {
		return err
	}
	now, err := f.Read(rel, mostText)
	switch {
	case errors.Is(err, fs.ErrNotExist) && version == "":
	case errors.Is(err, fs.ErrNotExist):
		return &ConflictError{Path: rel}
	case err != nil:
		return err
	case Version(now) != version:
		return &ConflictError{rel, now}
	}
	_, err = wholefile.Write(abs, wholefile.Options{}, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
	return err
}

// mostText bounds a text file that is edited.
const mostText = 16 << 20

// Put takes a file in under a name like the one asked for, and gives the name it
// got. One of the same content is not stored twice.
func (f *Folder) Put(rel string, from io.Reader) (name string, err error) {
	f.write.Lock()
	defer f.write.Unlock()
	ext := filepath.Ext(rel)
	base := strings.TrimSuffix(rel, ext)
	abs, err := f.Abs(rel)
	if err != nil {
		return "", err
	}
	temp, err := os.CreateTemp(filepath.Dir(abs), ".drop-*")
	if err != nil {
		return "", err
	}
	defer os.Remove(temp.Name())
	defer temp.Close()
	hash := sha256.New()
	if _, err := io.Copy(io.MultiWriter(temp, hash), from); err != nil {
		return "", err
	}
	if err := temp.Sync(); err != nil {
		return "", err
	}
	for n := 1; ; n++ {
		name = rel
		if n > 1 {
			name = base + "-" + say.Number(n) + ext
		}
		at := filepath.Join(f.Path, filepath.FromSlash(name))
		if sum, err := wholefile.SHA256(at); err == nil {
			if sum == hex.EncodeToString(hash.Sum(nil)) {
				return name, nil
			}
			continue
		}
		if err := os.Link(temp.Name(), at); errors.Is(err, fs.ErrExist) {
			continue
		} else if err != nil { // no links here: the lock keeps others of ours away
			temp.Close()
			if err := os.Rename(temp.Name(), at); err != nil {
				return "", err
			}
		}
		if err := os.Chmod(at, 0o644); err != nil {
			return "", err
		}
		return name, wholefile.SyncFolder(filepath.Dir(at))
	}
}

// Dir reports whether a path within the folder is a folder.
func (f *Folder) Dir(rel string) (bool, error) {
	if _, err := f.Abs(rel); err != nil {
		return false, err
	}
	info, err := f.root.Stat(filepath.FromSlash(rel))
	return err == nil && info.IsDir(), nil
}

// Make makes a folder within it, where it is not there yet.
func (f *Folder) Make(rel string) error {
	if _, err := f.Abs(rel); err != nil {
		return err
	}
	err := f.root.Mkdir(filepath.FromSlash(rel), 0o777)
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	return err
}
