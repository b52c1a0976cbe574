package work

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"time"

	"github.com/nats-io/nats.go/jetstream"

	"quoin/impose/queue"
	"quoin/impose/queue/blob"
	"quoin/impose/queue/task"
	"quoin/impose/say"
)

// one does a task, and lets its result be stored while the next one is done.
func (w *Worker) one(ctx context.Context, doer Doer, m jetstream.Msg, to *outgoing) {
	kept := false
	defer func() {
		if !kept {
			w.held.letGo(m)
		}
	}()
	t, before := w.accept(ctx, m)
	if t == nil {
		return
	}
	within, stop := context.WithCancelCause(WithLast(ctx, before >= Tries-1))
	defer stop(nil)
	w.mu.Lock()
	w.running[t.ID] = stop
	w.mu.Unlock()
	w.Busy.Add(1)
	began := time.Now()
	seen := time.AfterFunc(300*time.Millisecond, func() { w.state(t, task.Running, 0, "") })
	p, err := w.do(within, doer, t)
	shown := !seen.Stop()
	w.Busy.Add(-1)
	w.mu.Lock()
	delete(w.running, t.ID)
	w.mu.Unlock()
	took := time.Since(began)
	w.Millis.Add(took.Milliseconds())
	w.lanes.served(t.User, took)
	switch {
	case err == nil:
		p.Millis = took.Milliseconds()
		kept = true
		w.send(ctx, m, t, p, to, shown)
	case errors.Is(context.Cause(within), errCancelled):
		w.Log.Info("cancelled", "id", t.ID)
		w.state(t, task.Cancelled, 0, "")
		m.Term()
	default:
		w.undone(ctx, m, t, err)
	}
}

// accept returns the task of a message, and how often it failed by now; nil where
// this worker does not do it.
func (w *Worker) accept(ctx context.Context, m jetstream.Msg) (t *task.Task, before int) {
	t, err := task.Parse(m.Data())
	if err != nil {
		w.Log.Error("a message is no task and is thrown away", "error", err.Error())
		m.Term()
		return nil, 0
	}
	if t.Engine != w.Engine { // the lane said otherwise
		m.NakWithDelay(5 * time.Second)
		return nil, 0
	}
	meta, err := m.Metadata()
	if err != nil || meta.NumDelivered <= 1 {
		return t, 0
	}
	if meta.NumDelivered > deaths {
		w.setAside(ctx, m, t, fmt.Errorf("its worker died, or could not have its contents, %d times", meta.NumDelivered-1), int(meta.NumDelivered))
		return nil, 0
	}
	if before = w.failures.of(ctx, t.ID); w.failures.leave(t.ID) {
		m.Nak()
		w.line.Conn.Publish(queue.WakeSubject, nil)
		return nil, 0
	}
	return t, before
}

// undone gives a task back that could not be done, or its result not be stored.
func (w *Worker) undone(ctx context.Context, m jetstream.Msg, t *task.Task, err error) {
	switch {
	case ctx.Err() != nil:
		m.Nak()
	case errors.Is(err, blob.ErrMissing):
		w.Lacking.Add(1)
		m.NakWithDelay(time.Second)
	case queue.Full(err):
		w.full(m, t)
	case say.KindOf(err) == say.Away:
		w.Log.Warn("the queue is away", "id", t.ID, "error", err.Error())
		m.NakWithDelay(2 * time.Second)
	default:
		w.fail(ctx, m, t, err)
	}
}

// do gathers a task's contents and has it done. The folder of the product is
// the caller's to remove.
func (w *Worker) do(ctx context.Context, doer Doer, t *task.Task) (*product, error) {
	lies := map[string]string{}
	var lacks []string
	for _, sum := range t.Files {
		if lies[sum] != "" {
			continue
		}
		path, release, err := w.Cache.Hold(ctx, sum)
		if errors.Is(err, blob.ErrMissing) {
			lacks = append(lacks, sum)
			continue
		}
		if err != nil {
			return nil, err
		}
		defer release()
		lies[sum] = path
	}
	if len(lacks) > 0 {
		w.Log.Info("contents are not in the store; who handed the piece over is asked for them", "id", t.ID, "contents", len(lacks))
		if data, err := json.Marshal(lacks); err == nil {
			w.line.Conn.Publish(queue.LacksSubject+t.ID, data)
		}
		return nil, blob.ErrMissing
	}
	dir, err := os.MkdirTemp(w.Folder, "quoin-piece-")
	if err != nil {
		return nil, err
	}
	limited, stop := context.WithTimeoutCause(ctx, w.Time, fmt.Errorf("it took more than %s", w.Time))
	defer stop()
	a, err := doer.Do(limited, t, lies, dir)
	if err != nil {
		os.RemoveAll(dir)
		if cause := context.Cause(limited); cause != nil && ctx.Err() == nil {
			err = cause
		}
		return nil, err
	}
	r := t.Answer(task.Done)
	r.Output, r.Worker = a.Output, w.name
	if a.Refusal != nil {
		r.State, r.Refusal, a.Files = task.Refused, a.Refusal, nil
	}
	return &product{r, dir, a.Files}, nil
}

// fail counts a try that failed: the piece is tried again, and the third time set
// aside.
func (w *Worker) fail(ctx context.Context, m jetstream.Msg, t *task.Task, why error) {
	w.Failed.Add(1)
	tries := w.failures.count(ctx, t.ID)
	w.Log.Error("a piece failed", "id", t.ID, "title", t.Title, "try", tries, "error", task.ShortText(why.Error()))
	if tries >= Tries {
		w.setAside(ctx, m, t, why, tries)
		return
	}
	w.state(t, task.Queued, tries, why.Error())
	m.NakWithDelay(time.Duration(tries) * 500 * time.Millisecond)
}

// setAside keeps a task that can't be done, with the reason, and answers for it.
func (w *Worker) setAside(ctx context.Context, m jetstream.Msg, t *task.Task, why error, tries int) {
	w.failures.forget(t.ID)
	w.SetAside.Add(1)
	answer := task.Answer(why)
	kept, err := json.Marshal(queue.Kept{Task: t, Reason: answer.Text, Tries: tries, When: time.Now().UTC()})
	if err == nil {
		err = w.results.put(ctx, queue.AsideSubject+t.ID, kept)
	}
	if err == nil {
		m.DoubleAck(ctx) // before anybody reads the answer and has it tried again
		r := t.Answer(task.SetAside)
		r.Refusal, r.Tries, r.Worker = answer, tries, w.name
		var data []byte
		if data, err = json.Marshal(r); err == nil {
			err = w.results.put(ctx, queue.ResultSubject+t.ID, data)
		}
	}
	if err != nil {
		w.Log.Warn("a piece could not be set aside", "id", t.ID, "error", err.Error())
		m.NakWithDelay(2 * time.Second)
		return
	}
	w.state(t, task.SetAside, tries, answer.Text)
	w.Log.Error("a piece is set aside; quoin tasks shows and retries it", "id", t.ID, "title", t.Title, "tries", tries, "reason", answer.Text)
}

// state says for people what is being done.
func (w *Worker) state(t *task.Task, s task.State, tries int, reason string) {
	queue.SetState(w.line, t.ID, queue.StateNote{State: s, Kind: t.Kind, Title: t.Title, Batch: t.Batch, User: t.User, Tries: tries, Reason: reason, Worker: w.name, Since: time.Now().UTC()})
}
