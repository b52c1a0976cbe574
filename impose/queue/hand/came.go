package hand

import (
	"context"
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"quoin/impose/queue"
	"quoin/impose/queue/task"
)

// result returns the stored result of a task; nil where there is none.
func (h *Hander) result(ctx context.Context, id string) *task.Result {
	s, err := h.line.Stream(ctx, queue.Results)
	if err != nil {
		return nil
	}
	m, err := s.GetLastMsgForSubject(ctx, queue.ResultSubject+id)
	if err != nil {
		return nil
	}
	r, err := task.ParseResult(m.Data)
	if err != nil || r.ID != id {
		return nil
	}
	return r
}

// drop takes away the stored result of a task.
func (h *Hander) drop(ctx context.Context, id string) {
	for name, subject := range map[string]string{queue.Results: queue.ResultSubject + id, queue.Aside: queue.AsideSubject + id} {
		if s, err := h.line.JS.Stream(ctx, name); err == nil {
			s.Purge(ctx, jetstream.WithPurgeSubject(subject))
		}
	}
}

// came takes a result as it is stored.
func (h *Hander) came(m *nats.Msg) {
	id := strings.TrimPrefix(m.Subject, queue.ResultSubject)
	h.mu.Lock()
	mine := h.waiting[id] != nil
	h.mu.Unlock()
	if !mine {
		return
	}
	if r, err := task.ParseResult(m.Data); err == nil && r.ID == id {
		h.deliver(r)
	}
}

// noRoom is the state of a task whose result finds no room in the store. It is in no
// message.
const noRoom task.State = "no room"

// noRoom ends all that is waited for, as the rest finds no room either.
func (h *Hander) noRoom(m *nats.Msg) {
	h.mu.Lock()
	mine := h.waiting[strings.TrimPrefix(m.Subject, queue.FullSubject)] != nil
	ids := slices.Collect(maps.Keys(h.waiting))
	h.mu.Unlock()
	if !mine {
		return
	}
	for _, id := range ids {
		h.deliver(&task.Result{ID: id, State: noRoom})
	}
}

func (h *Hander) deliver(r *task.Result) {
	h.mu.Lock()
	defer h.mu.Unlock()
	w := h.waiting[r.ID]
	if w == nil {
		return
	}
	for range w.others + 1 {
		select {
		case w.got <- r:
		default: // it has more than it can use
		}
	}
}

// lacks sends contents again that a worker did not find.
func (h *Hander) lacks(ctx context.Context, m *nats.Msg) {
	h.mu.Lock()
	w := h.waiting[strings.TrimPrefix(m.Subject, queue.LacksSubject)]
	h.mu.Unlock()
	var sums []string
	if w == nil || json.Unmarshal(m.Data, &sums) != nil {
		return
	}
	h.store.Forget(sums...)
	for _, f := range w.files {
		if err := h.store.SendFile(ctx, w.task.Files[f.Name], f.Path); err != nil {
			h.Log.Warn("a content could not be sent again", "file", f.Name, "error", err.Error())
		}
	}
}

// cancel takes back a task that nobody waits for.
func (h *Hander) cancel(w *wait) {
	h.mu.Lock()
	one := h.waiting[w.task.ID]
	last := one != nil && one.others == 0
	h.mu.Unlock()
	if !last {
		return
	}
	ctx, stop := context.WithTimeout(context.Background(), 3*time.Second)
	defer stop()
	if s, err := h.line.JS.Stream(ctx, queue.Tasks); err == nil {
		s.Purge(ctx, jetstream.WithPurgeSubject(w.task.Subject()))
	}
	if data, err := json.Marshal(queue.Order{Cancel: w.task.ID}); err == nil {
		h.line.Conn.Publish(queue.TellSubject, data)
		h.line.Conn.Flush()
	}
}
