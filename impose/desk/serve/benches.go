package serve

import (
	"sync"
	"time"

	"quoin/impose/alike"
	"quoin/impose/desk/folder"
	"quoin/impose/desk/plan"
)

// benches keeps the jobs that were worked on last, with their artworks open.
type benches struct {
	folder *folder.Folder
	by     alike.Comparer
	mu     sync.Mutex
	kept   map[string]*bench // by the job's path
}

// bench is a job that is worked on.
type bench struct {
	*plan.Bench
	used  time.Time
	users int
}

func newBenches(in *folder.Folder, by alike.Comparer) *benches {
	return &benches{folder: in, by: by, kept: map[string]*bench{}}
}

func (all *benches) close() {
	all.mu.Lock()
	defer all.mu.Unlock()
	for _, b := range all.kept {
		b.Close()
	}
}

// mostBenches is how many jobs keep their artworks open.
const mostBenches = 6

// open returns the bench of a job, and what to call when it is no longer needed.
func (all *benches) open(path string) (*plan.Bench, func()) {
	all.mu.Lock()
	defer all.mu.Unlock()
	b := all.kept[path]
	if b == nil {
		b = &bench{Bench: plan.NewBench(all.folder, path, all.by)}
		all.kept[path] = b
	}
	b.users++
	b.used = time.Now()
	for len(all.kept) > mostBenches {
		oldest := ""
		for p, o := range all.kept {
			if o.users == 0 && (oldest == "" || o.used.Before(all.kept[oldest].used)) {
				oldest = p
			}
		}
		if oldest == "" {
			break
		}
		all.kept[oldest].Close()
		delete(all.kept, oldest)
	}
	return b.Bench, func() {
		all.mu.Lock()
		defer all.mu.Unlock()
		b.users--
	}
}
