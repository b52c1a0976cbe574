package watch

import (
	"context"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

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
		case d.Type().IsRegular() && !isAnswer(path) && !hasEnd(path, unfinished...):
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
