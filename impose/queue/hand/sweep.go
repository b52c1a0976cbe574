package hand

import (
	"context"
	"time"

	"quoin/impose/queue"
)

// most is how long a task may be silent before it is asked for again.
const mostPatience = 30 * time.Second

// sweep looks after what does not come: tasks or results that the queue lost, one
// by one or with its whole store.
func (h *Hander) sweep(ctx context.Context) {
	defer close(h.ended)
	t := time.NewTicker(time.Second)
	defer t.Stop()
	var made time.Time // when the streams were
	for {
		select {
		case <-ctx.Done():
			return
		case <-t.C:
		}
		h.mu.Lock()
		idle := len(h.waiting) == 0
		h.mu.Unlock()
		if idle || !h.line.Conn.IsConnected() {
			continue
		}
		now, err := h.made(ctx)
		if err != nil {
			if queue.Gone(err) {
				within, stop := context.WithTimeout(ctx, 10*time.Second)
				h.line.Ensure(within)
				stop()
			}
			continue
		}
		lost := !made.IsZero() && !now.Equal(made)
		made = now
		if lost {
			h.Log.Warn("the queue's store was thrown away; what has not come is asked for again")
			h.store.Forget()
			h.lanes.close()
		}
		h.askAgain(ctx, lost)
	}
}

// made returns when the streams were made: the newest of them.
func (h *Hander) made(ctx context.Context) (time.Time, error) {
	ctx, stop := context.WithTimeout(ctx, 5*time.Second)
	defer stop()
	var newest time.Time
	for _, name := range []string{queue.Tasks, queue.Results, "OBJ_" + queue.Content} {
		s, err := h.line.JS.Stream(ctx, name)
		if err != nil {
			return newest, err
		}
		if c := s.CachedInfo().Created; c.After(newest) {
			newest = c
		}
	}
	return newest, nil
}

// askAgain asks for all tasks, or for those that were silent for long.
func (h *Hander) askAgain(ctx context.Context, all bool) {
	h.mu.Lock()
	var due []*wait
	now := time.Now()
	for _, w := range h.waiting {
		if all || now.Sub(w.asked) > w.patience {
			if all {
				w.patience = 2 * time.Second
			}
			w.asked, w.patience = now, min(2*w.patience, mostPatience)
			due = append(due, w)
		}
	}
	h.mu.Unlock()
	if len(due) > 0 {
		h.lanes.close() // the store may have been thrown away before it was first looked at
	}
	for _, w := range due {
		within, stop := context.WithTimeout(ctx, 20*time.Second)
		err := h.again(within, w, false)
		stop()
		if err != nil {
			h.Log.Warn("a piece can't be asked for again yet", "id", w.task.ID, "error", err.Error())
			return
		}
	}
}
