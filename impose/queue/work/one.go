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
			w.letGo(m)
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
	if before = w.triesOf(ctx, t); w.leaves(t.ID) {
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

// product is what came of a piece: the result, and its files in a folder of their own.
type product struct {
	*task.Result
	dir   string
	names []string
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
		defer w.letGo(m)
		err := waited
		if err == nil {
			defer to.room.Release(weight)
			err = w.pack(ctx, p)
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
	w.mu.Lock()
	delete(w.failed, t.ID)
	w.mu.Unlock()
	if err := w.store(ctx, queue.ResultSubject+r.ID, data); err != nil {
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

// store publishes and waits until that is on the disk; a store that was thrown
// away is made anew.
func (w *Worker) store(ctx context.Context, subject string, data []byte) error {
	var err error
	for try := range 20 {
		within, stop := context.WithTimeout(ctx, 10*time.Second)
		_, err = w.line.JS.Publish(within, subject, data)
		stop()
		if err == nil || ctx.Err() != nil || queue.Full(err) {
			return err
		}
		if queue.Gone(err) {
			w.line.Ensure(ctx)
		}
		time.Sleep(time.Duration(try+1) * 50 * time.Millisecond)
	}
	return err
}

// fail counts a try that failed: the piece is tried again, and the third time set
// aside.
func (w *Worker) fail(ctx context.Context, m jetstream.Msg, t *task.Task, why error) {
	w.Failed.Add(1)
	tries := w.tries(ctx, t)
	w.Log.Error("a piece failed", "id", t.ID, "title", t.Title, "try", tries, "error", task.ShortText(why.Error()))
	if tries >= Tries {
		w.setAside(ctx, m, t, why, tries)
		return
	}
	w.state(t, task.Queued, tries, why.Error())
	m.NakWithDelay(time.Duration(tries) * 500 * time.Millisecond)
}

// tries counts that a task failed, and returns how often it did, here or elsewhere.
func (w *Worker) tries(ctx context.Context, t *task.Task) int {
	before := w.triesOf(ctx, t)
	w.mu.Lock()
	defer w.mu.Unlock()
	w.failed[t.ID] = failure{tries: before + 1}
	return before + 1
}

// triesOf returns how often a task failed by now.
func (w *Worker) triesOf(ctx context.Context, t *task.Task) int {
	before := 0
	if s, err := queue.StateOf(ctx, w.line, t.ID); err == nil {
		before = s.Tries
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	return max(before, w.failed[t.ID].tries)
}

// leaves reports whether a piece that failed here is left to others for a while:
// what is wrong may be this machine. It then takes nothing itself, as whoever asks
// in step with the others would have the piece each time.
func (w *Worker) leaves(id string) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	f := w.failed[id]
	if f.tries == 0 || !f.left.IsZero() && time.Since(f.left) >= leaveFor {
		return false
	}
	if f.left.IsZero() {
		f.left = time.Now()
		w.failed[id], w.rested = f, f.left.Add(leaveFor)
	}
	return true
}

// leaveFor is longer than idle workers wait before they ask again.
const leaveFor = 1500 * time.Millisecond

// rest waits while this worker leaves a piece to others.
func (w *Worker) rest(ctx context.Context) {
	w.mu.Lock()
	d := time.Until(w.rested)
	w.mu.Unlock()
	if d <= 0 {
		return
	}
	select {
	case <-ctx.Done():
	case <-w.drain:
	case <-time.After(d):
	}
}

// setAside keeps a task that can't be done, with the reason, and answers for it.
func (w *Worker) setAside(ctx context.Context, m jetstream.Msg, t *task.Task, why error, tries int) {
	w.mu.Lock()
	delete(w.failed, t.ID)
	w.mu.Unlock()
	w.SetAside.Add(1)
	answer := task.Answer(why)
	kept, err := json.Marshal(queue.Kept{Task: t, Reason: answer.Text, Tries: tries, When: time.Now().UTC()})
	if err == nil {
		err = w.store(ctx, queue.AsideSubject+t.ID, kept)
	}
	if err == nil {
		m.DoubleAck(ctx) // before anybody reads the answer and has it tried again
		r := t.Answer(task.SetAside)
		r.Refusal, r.Tries, r.Worker = answer, tries, w.name
		var data []byte
		if data, err = json.Marshal(r); err == nil {
			err = w.store(ctx, queue.ResultSubject+t.ID, data)
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
