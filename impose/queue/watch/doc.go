// Package watch picks files up from a folder when they are whole, has each done,
// and answers it once, beside it: done, with its files, or refused, with the
// reason, as text and as JSON.
//
// It asks the folder again and again and needs no notifications, so network drives
// do. Two watchers may look at one folder: each file is claimed by a file of its
// own, which only one can create. An answer names the SHA-256 of what it answers;
// a file that is replaced is answered anew.
package watch

import (
	"context"
	"errors"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"quoin/impose/say"
)

// Options say what is watched and how.
type Options struct {
	In, Out string
	Every   time.Duration // between two looks
	Still   time.Duration // that a file must not have changed to be whole, without a marker
	// Do does a file and returns what came of it; see Item.
	Do  func(ctx context.Context, it *Item) (*Done, error)
	Log *slog.Logger
}

// Defaults is the name of the file whose settings bare artworks and order lists of
// its folder have, and of the folders below that have none of their own.
const Defaults = "defaults.yaml"

// Ready is what stands behind a file's name in that of the marker which says that
// it is whole.
const Ready = ".ready"

// Item is a file that is whole.
type Item struct {
	Kind     Kind
	Path     string // of the file
	Name     string // from the watched folder on, with slashes
	Defaults string // path of the settings; "" where there are none
	Out      string // where its files go, without an ending; its folder is there, and no other item has it
	SHA256   string
}

// Done is what came of an item.
type Done struct {
	Files []string // from the folder of results on, with slashes
	Said  string   // for people
}

// Watcher looks at one folder.
type Watcher struct {
	Options
	seen map[string]*sight
	read map[string]note // by their paths
}

// sight is how a file was last seen.
type sight struct {
	size     int64
	changed  time.Time
	since    time.Time // when it was first seen so, by this machine's clock
	answered bool      // it is, as it is
}

// New returns a watcher. The folder must be there; that of the results is made.
func New(o Options) (*Watcher, error) {
	info, err := os.Stat(o.In)
	if err == nil && !info.IsDir() {
		err = errors.New("it is no folder")
	}
	if err != nil {
		return nil, say.Refuse(say.Usage, "name the folder that files are put into", "%s can't be watched: %v", o.In, err)
	}
	in, err := filepath.Abs(o.In)
	if err != nil {
		return nil, err
	}
	out, err := filepath.Abs(o.Out)
	if err != nil {
		return nil, err
	}
	if out == in || strings.HasPrefix(out, in+string(os.PathSeparator)) {
		return nil, say.Refuse(say.Usage, "name another folder behind --out", "%s lies in the folder that is watched, and results would be taken for new files", o.Out)
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	o.In, o.Out = in, out
	return &Watcher{Options: o, seen: map[string]*sight{}, read: map[string]note{}}, os.MkdirAll(out, 0o777)
}

// Run looks until ctx ends.
func (w *Watcher) Run(ctx context.Context) error {
	for {
		if err := w.Look(ctx); err != nil && ctx.Err() == nil {
			w.Log.Warn("the folder can't be read just now", "folder", w.In, "error", err.Error())
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(w.Every):
		}
	}
}

// Look looks once, and does what is whole.
func (w *Watcher) Look(ctx context.Context) error {
	found, err := w.walk(ctx)
	if err != nil {
		return err
	}
	there, named := map[string]bool{}, map[string]bool{}
	for _, path := range found {
		there[path] = true
		if isYAML(path) {
			for _, name := range w.notes(path).names {
				named[name] = true
			}
		}
	}
	for path := range w.seen {
		if !there[path] {
			delete(w.seen, path)
		}
	}
	for path := range w.read {
		if !there[path] {
			delete(w.read, path)
		}
	}
	var due []*Item
	for _, path := range found {
		if k := w.kind(path, named); k != "" && w.whole(path) {
			due = append(due, w.item(path, k))
		}
	}
	for _, it := range due {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if !w.whole(it.Path) { // any more: those before it took their time
			continue
		}
		if err := w.one(ctx, it); err != nil {
			if ctx.Err() != nil {
				return ctx.Err()
			}
			w.Log.Warn("a file could not be answered; it is tried again", "file", it.Name, "error", err.Error())
		}
	}
	return nil
}

// walk lists the files that may ask for something.
func (w *Watcher) walk(ctx context.Context) (list []string, err error) {
	err = filepath.WalkDir(w.In, func(path string, d fs.DirEntry, err error) error {
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case err != nil && path == w.In:
			return err
		case err != nil: // it went away
			return nil
		case path != w.In && strings.HasPrefix(d.Name(), "."):
			if d.IsDir() {
				return fs.SkipDir
			}
			return nil
		case d.Type().IsRegular() && !isAnswer(path) && !slices.ContainsFunc(unfinished, func(end string) bool { return strings.HasSuffix(path, end) }):
			list = append(list, path)
		}
		return nil
	})
	return list, err
}

// unfinished are endings of files that programs write to before they rename them.
var unfinished = []string{".part", ".tmp", ".filepart", ".crdownload", ".download", "~"}

// name is what a file is called, from the watched folder on.
func (w *Watcher) name(path string) string {
	name, err := filepath.Rel(w.In, path)
	if err != nil {
		return filepath.ToSlash(path)
	}
	return filepath.ToSlash(name)
}

func (w *Watcher) item(path string, k Kind) *Item {
	name := w.name(path)
	return &Item{Kind: k, Path: path, Name: name, Defaults: w.defaults(filepath.Dir(path)), Out: out(w.Out, name, k)}
}

// defaults returns the settings for a folder: its own, or those of the nearest one
// above.
func (w *Watcher) defaults(dir string) string {
	for {
		path := filepath.Join(dir, Defaults)
		if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() {
			return path
		}
		if dir == w.In || len(dir) <= len(w.In) {
			return ""
		}
		dir = filepath.Dir(dir)
	}
}

// whole reports whether a file is to be done: nobody writes to it any more, and it
// has no answer.
func (w *Watcher) whole(path string) bool {
	info, err := os.Lstat(path)
	if err != nil || !info.Mode().IsRegular() {
		return false
	}
	s := w.seen[path]
	now := time.Now()
	if s == nil || s.size != info.Size() || !s.changed.Equal(info.ModTime()) {
		s = &sight{size: info.Size(), changed: info.ModTime(), since: now}
		w.seen[path] = s
	}
	if s.answered {
		return false
	}
	if _, err := os.Stat(path + Ready); err == nil {
		return true
	}
	return now.Sub(s.since) >= w.Still
}
