package watch

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"time"

	"quoin/impose/job"
)

// A job may be put into the folder before the artworks and tables that it names,
// and they before it. What names others is done when those are whole too; for
// those that are missing it waits a while, and is then refused in its own words,
// until they come. A table that reads as no order list waits as long for the job
// that names it.

// patience is how long a file waits for others.
func (w *Watcher) patience() time.Duration { return 3 * w.Still }

// waits reports whether an item waits for the files that it names, or for the one
// that names it. A marker says that all is there.
func (w *Watcher) waits(it *Item) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	s := w.sight(it.Path)
	if s == nil || s.answered || isThere(it.Path+Ready) {
		return false
	}
	held := it.doubt && time.Since(s.since) < w.patience()
	for _, path := range it.beside {
		if of := w.sight(path); of == nil && !isThere(path) {
			held = held || time.Since(s.since) < w.patience()
		} else if of != nil && time.Since(of.since) < w.Still {
			held = true
		}
	}
	return held
}

// lacks lists the files that an item names and that are not there.
func (it *Item) lacks() (list []string) {
	for _, path := range it.beside {
		if !isThere(path) {
			list = append(list, path)
		}
	}
	return list
}

// withdraw takes back what refused a table for no order list, before the job came
// that names it.
func (w *Watcher) withdraw(path string) {
	data, err := os.ReadFile(path + jsonEnd)
	var a Answer
	if err != nil || json.Unmarshal(data, &a) != nil || a.Schema != Schema || a.State != stateRefused {
		return
	}
	os.Remove(path + jsonEnd)
	os.Remove(path + refusedEnd)
	w.Log.Info("took back an answer: another file names this one", "file", w.name(path))
}

// artworks returns the paths of the artworks that an order list names.
func artworks(path string, data []byte) (list []string) {
	orders, _ := job.ParseOrders(path, data) // what is wrong with others is said when it is done
	for i := range orders {
		if orders[i].Artwork == "" {
			continue
		}
		if p := filepath.Clean(orders[i].ArtworkPath()); !slices.Contains(list, p) {
			list = append(list, p)
		}
	}
	return list
}
