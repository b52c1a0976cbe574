// Package watch picks files up from a folder when they are whole, has each done,
// and answers it once, beside it: done, with its files, or refused, with the
// reason, as text and as JSON.
//
// It asks the folder again and again and needs no notifications, so network drives
// do. Two watchers may look at one folder: each file is claimed by a file of its
// own, which only one can create. An answer names the SHA-256 of what it answers;
// a file that is replaced is answered anew. Several files are done at a time, so
// that a long night holds no small job back.
package watch

import (
	"context"
	"errors"
	"io/fs"
	"log/slog"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"quoin/impose/say"
)

// Options say what is watched and how.
type Options struct {
	In, Out string
	Every   time.Duration // between two looks
	Still   time.Duration // that a file must not have changed to be whole, without a marker
	AtOnce  int           // files that are done at a time; 0: one
	// Do does a file and returns what came of it; see Item. It is called for several
	// at once.
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

	beside []string // paths of the files that it names
	doubt  bool     // it may be no order list
}

// Done is what came of an item.
type Done struct {
	Files []string // from the folder of results on, with slashes
	Said  string   // for people
}

// Watcher looks at one folder.
type Watcher struct {
	Options
	read map[string]note // by their paths
	due  []*Item         // that the last look found, and nobody does yet

	all   sync.WaitGroup // of the files that are being done
	ended chan struct{}  // one of them was
	mu    sync.Mutex     // guards what follows
	seen  map[string]*sight
	busy  map[string]*Item
}

// sight is how a file was last seen.
type sight struct {
	size     int64
	changed  time.Time
	since    time.Time // when it was first seen so, by this machine's clock
	answered bool      // it is, as it is
	lacks    []string  // what was not there then
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
	o.In, o.Out, o.AtOnce = in, out, max(o.AtOnce, 1)
	return &Watcher{Options: o, seen: map[string]*sight{}, read: map[string]note{}, busy: map[string]*Item{}, ended: make(chan struct{}, 1)}, os.MkdirAll(out, 0o777)
}

// Run looks until ctx ends.
func (w *Watcher) Run(ctx context.Context) error {
	defer w.all.Wait()
	for {
		if _, err := w.look(ctx); err != nil && ctx.Err() == nil {
			w.Log.Warn("the folder can't be read just now", "folder", w.In, "error", err.Error())
		}
		w.begin(ctx)
		for next := time.After(w.Every); next != nil; {
			select {
			case <-ctx.Done():
				return ctx.Err()
			case <-w.ended:
				w.begin(ctx)
			case <-next:
				next = nil
			}
		}
	}
}

// Once looks until what is there is answered.
func (w *Watcher) Once(ctx context.Context) error {
	defer w.all.Wait()
	end := time.Now().Add(w.Still + 2*w.Every)
	for last := end.Add(w.patience()); ; {
		waits, err := w.look(ctx)
		if err != nil {
			return err
		}
		for w.begin(ctx); w.working(); w.begin(ctx) {
			select {
			case <-ctx.Done():
				return ctx.Err()
			case <-w.ended:
			}
		}
		if now := time.Now(); now.After(last) || now.After(end) && !waits {
			return nil
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(w.Every):
		}
	}
}

// look finds what is due. waits says that some of the rest waits for other files.
func (w *Watcher) look(ctx context.Context) (waits bool, err error) {
	found, err := w.walk(ctx)
	if err != nil {
		return false, err
	}
	named := map[string]bool{}
	for _, path := range found {
		if isYAML(path) {
			for _, name := range w.notes(path).names {
				named[name] = named[name] || isTable(name)
			}
		}
	}
	w.forget(found)
	w.due = nil
	for _, path := range found {
		if named[path] {
			w.withdraw(path)
		}
		k := w.kind(path, named)
		if k == "" || w.does(path) {
			continue
		}
		it := w.item(path, k)
		switch whole, held := w.whole(path), w.waits(it); {
		case whole && !held:
			w.due = append(w.due, it)
		case held:
			waits = true
		}
	}
	return waits, nil
}

// forget forgets files that are gone.
func (w *Watcher) forget(found []string) {
	there := map[string]bool{}
	for _, path := range found {
		there[path] = true
	}
	maps.DeleteFunc(w.read, func(path string, _ note) bool { return !there[path] })
	w.mu.Lock()
	defer w.mu.Unlock()
	maps.DeleteFunc(w.seen, func(path string, _ *sight) bool { _, err := os.Stat(path); return !there[path] && err != nil })
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
	name, n := w.name(path), w.notes(path)
	it := &Item{Kind: k, Path: path, Name: name, Defaults: w.defaults(filepath.Dir(path)), Out: out(w.Out, name, k), beside: n.names, doubt: n.doubt}
	if it.doubt && it.Defaults != "" && w.notes(it.Defaults).columns {
		it.doubt = false // the settings say how lists are written
	}
	return it
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
// has no answer, or one that it lacked something which is there now.
func (w *Watcher) whole(path string) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	s := w.sight(path)
	if s == nil {
		return false
	}
	if s.answered && slices.ContainsFunc(s.lacks, isThere) {
		*s = sight{size: s.size, changed: s.changed, since: time.Now()}
	}
	if s.answered {
		return false
	}
	return isThere(path+Ready) || time.Since(s.since) >= w.Still
}

func isThere(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular()
}

// sight looks at a file; nil where there is none. w.mu is held.
func (w *Watcher) sight(path string) *sight {
	info, err := os.Lstat(path)
	if err != nil || !info.Mode().IsRegular() {
		return nil
	}
	s := w.seen[path]
	if s == nil || s.size != info.Size() || !s.changed.Equal(info.ModTime()) {
		s = &sight{size: info.Size(), changed: info.ModTime(), since: time.Now()}
		w.seen[path] = s
	}
	return s
}
