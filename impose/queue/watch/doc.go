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
	"log/slog"
	"os"
	"path/filepath"
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

	unanswered unanswered // since the last look; it has a mutex of its own
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

// Once looks until what is there is answered, by another watcher too. The error is
// of a file that could not be, for no fault of its own, for a minute.
func (w *Watcher) Once(ctx context.Context) error {
	defer w.all.Wait()
	end := time.Now().Add(w.Still + 2*w.Every)
	last, trouble := end.Add(w.patience()), end.Add(mostTrouble)
	for {
		w.unanswered.clear()
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
		now := time.Now()
		elsewhere, failed := w.unanswered.why()
		if failed == nil {
			trouble = now.Add(mostTrouble)
		}
		switch {
		case failed == nil && elsewhere: // its claim goes with its answer, or is taken over
		case failed == nil:
			if now.After(last) || now.After(end) && !waits {
				return nil
			}
		case now.After(trouble):
			return failed
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(w.Every):
		}
	}
}

// mostTrouble is for how long Once tries a file again that could not be answered, as
// when the queue is away.
const mostTrouble = time.Minute
