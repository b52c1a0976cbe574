package work

import (
	"context"
	"encoding/json"
	"os"
	"time"

	"github.com/nats-io/nats.go/jetstream"

	"quoin/impose/queue"
	"quoin/impose/queue/task"
)

// product is what came of a piece: the result, and its files in a folder of their own.
type product struct {
	*task.Result
	dir   string
	names []string
}

// send stores a product and acknowledges its task, on its way beside the next
// piece. It waits while too many others are.
func (w *Worker) send(ctx context.Context, m jetstream.Msg, t *task.Task, p *product, to *outgoing, shown bool) {
	weight := int64(1)
	if len(p.names) > 0 {
		weight = packWeight
	}
	waited := to.room.Acquire(ctx, weight)
	to.all.Go(func() {
		defer os.RemoveAll(p.dir)
		defer w.held.letGo(m)
		err := waited
		if err == nil {
			defer to.room.Release(weight)
			err = w.results.pack(ctx, p)
		}
		if err != nil {
			w.undone(ctx, m, t, err)
			return
		}
		w.finish(ctx, m, t, p.Result, shown)
	})
}

// finish stores a result and then acknowledges its task.
func (w *Worker) finish(ctx context.Context, m jetstream.Msg, t *task.Task, r *task.Result, shown bool) {
	data, err := json.Marshal(r)
	if err != nil {
		w.fail(ctx, m, t, err)
		return
	}
	if r.State == task.Refused {
		w.Refused.Add(1)
	} else {
		w.Done.Add(1)
	}
	w.failures.forget(t.ID)
	if err := w.results.put(ctx, queue.ResultSubject+r.ID, data); err != nil {
		if queue.Full(err) {
			w.full(m, t)
			return
		}
		w.Log.Warn("a result could not be stored; its piece is done again", "id", t.ID, "error", err.Error())
		return // not acknowledged, so another time
	}
	if err := m.Ack(); err != nil {
		w.Log.Warn("a task could not be acknowledged", "id", t.ID, "error", err.Error())
	}
	if shown {
		w.state(t, r.State, 0, "")
	}
	w.Log.Debug("done", "id", t.ID, "title", t.Title, "state", string(r.State), "ms", r.Millis)
}

// full tells who waits for a piece that its result finds no room. Another try may.
func (w *Worker) full(m jetstream.Msg, t *task.Task) {
	w.Log.Error("the queue's store is full", "id", t.ID, "title", t.Title)
	w.line.Conn.Publish(queue.FullSubject+t.ID, nil)
	m.NakWithDelay(5 * time.Second)
}
