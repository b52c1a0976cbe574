package hand

import (
	"context"
	"sync"

	"quoin/impose/queue"
	"quoin/impose/queue/task"
	"quoin/impose/wholefile"
)

// openLanes are the lanes of the line that this process has made.
type openLanes struct {
	line *queue.Line
	mu   sync.Mutex
	made map[string]bool // by name
}

// open makes the lane of a task, once.
func (l *openLanes) open(ctx context.Context, t *task.Task) error {
	name := task.Lane(t.Engine, t.Priority, t.User)
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.made[name] {
		return nil
	}
	if err := queue.OpenLane(ctx, l.line, t); err != nil {
		return err
	}
	l.made[name] = true
	return nil
}

// close forgets them, so that each is made again.
func (l *openLanes) close() {
	l.mu.Lock()
	defer l.mu.Unlock()
	clear(l.made)
}

// sums are the SHA-256 of files.
type sums struct {
	mu    sync.Mutex
	known map[string]func() (string, error) // by path
}

// of returns the SHA-256 of a file, worked out once.
func (k *sums) of(path string) (string, error) {
	k.mu.Lock()
	once := k.known[path]
	if once == nil {
		once = sync.OnceValues(func() (string, error) { return wholefile.SHA256(path) })
		k.known[path] = once
	}
	k.mu.Unlock()
	return once()
}
