package watch

import (
	"context"
	"strings"
)

// begin begins what is due while there are places for it.
func (w *Watcher) begin(ctx context.Context) {
	for ctx.Err() == nil {
		it := w.next()
		if it == nil {
			return
		}
		w.all.Go(func() {
			defer w.end(it)
			if err := w.one(ctx, it); err != nil && ctx.Err() == nil {
				w.unanswered.failed(err)
				w.Log.Warn("a file could not be answered; it is tried again", "file", it.Name, "error", err.Error())
			}
		})
	}
}

// next takes the file whose turn it is; nil where all places are taken or nothing
// is due. The folder of which the fewest are being done goes first, so that none
// waits for all of another's. Nights and runs leave one place to what is short.
func (w *Watcher) next() *Item {
	for {
		w.mu.Lock()
		at, free := -1, w.AtOnce-len(w.busy)
		of, long := map[string]int{}, 0
		for _, it := range w.busy {
			of[it.folder()]++
			if it.long() {
				long++
			}
		}
		for i, it := range w.due {
			if free <= 0 || it.long() && long > 0 && long >= w.AtOnce-1 {
				continue
			}
			if at < 0 || of[it.folder()] < of[w.due[at].folder()] {
				at = i
			}
		}
		if at < 0 {
			w.mu.Unlock()
			return nil
		}
		it := w.due[at]
		w.due = append(w.due[:at:at], w.due[at+1:]...)
		w.busy[it.Path] = it
		w.mu.Unlock()
		if w.whole(it.Path) { // still: those before it took their time
			return it
		}
		w.end(it)
	}
}

// end gives an item's place up.
func (w *Watcher) end(it *Item) {
	w.mu.Lock()
	delete(w.busy, it.Path)
	w.mu.Unlock()
	select {
	case w.ended <- struct{}{}:
	default: // somebody is told already
	}
}

// working reports whether any file is being done; does whether this one is.
func (w *Watcher) working() bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	return len(w.busy) > 0
}

func (w *Watcher) does(path string) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.busy[path] != nil
}

// long reports whether an item may take hours.
func (it *Item) long() bool { return it.Kind == Orders || it.Kind == Run }

// folder is whose turn it is: the first folder of the name.
func (it *Item) folder() string {
	folder, _, ok := strings.Cut(it.Name, "/")
	if !ok {
		return ""
	}
	return folder
}
