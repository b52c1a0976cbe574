package work

import (
	"context"
	"sync"
	"time"

	"quoin/impose/queue"
)

// failures are the pieces that failed on this machine, and what follows from that:
// how often each may be tried, and who tries it next.
type failures struct {
	line *queue.Line

	mu     sync.Mutex
	known  map[string]failure // by the task's name
	rested time.Time          // when pieces are taken again
}

// failure is what is known of a piece that failed here.
type failure struct {
	tries int       // by then, here and elsewhere
	left  time.Time // to others, since then
}

// leaveFor is longer than idle workers wait before they ask again.
const leaveFor = 1500 * time.Millisecond

// count counts that a task failed, and returns how often it did, here or elsewhere.
func (f *failures) count(ctx context.Context, id string) int {
	before := f.of(ctx, id)
	f.mu.Lock()
	defer f.mu.Unlock()
	f.known[id] = failure{tries: before + 1}
	return before + 1
}

// of returns how often a task failed by now.
func (f *failures) of(ctx context.Context, id string) int {
	before := 0
	if s, err := queue.StateOf(ctx, f.line, id); err == nil {
		before = s.Tries
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	return max(before, f.known[id].tries)
}

// forget is for a task that is answered.
func (f *failures) forget(id string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	delete(f.known, id)
}

// leave reports whether a piece that failed here is left to others for a while:
// what is wrong may be this machine. Nothing is taken then either, as whoever asks
// in step with the others would have the piece each time.
func (f *failures) leave(id string) bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	it := f.known[id]
	if it.tries == 0 || !it.left.IsZero() && time.Since(it.left) >= leaveFor {
		return false
	}
	if it.left.IsZero() {
		it.left = time.Now()
		f.known[id], f.rested = it, it.left.Add(leaveFor)
	}
	return true
}

// rest waits while a piece is left to others, at most until end.
func (f *failures) rest(ctx context.Context, end <-chan struct{}) {
	f.mu.Lock()
	d := time.Until(f.rested)
	f.mu.Unlock()
	if d <= 0 {
		return
	}
	select {
	case <-ctx.Done():
	case <-end:
	case <-time.After(d):
	}
}
