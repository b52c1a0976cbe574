// Package hand gives work to the queue and gathers what comes of it. It keeps what
// it asked for, asks again for what does not come, sends contents again that were
// lost, and proves every result by its SHA-256.
package hand

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"quoin/impose/queue"
	"quoin/impose/queue/blob"
	"quoin/impose/queue/task"
	"quoin/impose/say"
)

// Options say whose work it is and how it is to be done.
type Options struct {
	Engine   string
	User     string // "" is the line's; a broker with users takes no other
	Priority int
	Batch    string // what the pieces are of, for people
	Log      *slog.Logger
	// Broken, when set, reports why the queue can't go on, as one whose broker is in
	// this process.
	Broken func() error
}

// Hander hands work over. It is safe for concurrent use.
type Hander struct {
	Options
	line  *queue.Line
	store *blob.Store
	subs  []*nats.Subscription
	stop  context.CancelFunc
	ended chan struct{}

	mu      sync.Mutex
	waiting map[string]*wait
	lanes   openLanes
	sums    sums
	woken   time.Time

	pace pace
}

// wait is a task that was asked for and has not come.
type wait struct {
	task     *task.Task
	files    []File
	got      chan *task.Result
	asked    time.Time
	patience time.Duration
	others   int         // that wait for the same
	there    atomic.Bool // it was put into the queue
}

// File is a content that a task needs: the name that its input calls it, and where
// it lies.
type File struct{ Name, Path string }

// New returns a hander on a line.
func New(ctx context.Context, l *queue.Line, o Options) (*Hander, error) {
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	o.User = cmp.Or(o.User, l.User)
	if o.Priority == 0 {
		o.Priority = task.Normal
	}
	ctx, stop := context.WithCancel(context.WithoutCancel(ctx))
	h := &Hander{Options: o, line: l, store: blob.New(l), stop: stop, ended: make(chan struct{}), waiting: map[string]*wait{}, lanes: openLanes{line: l, made: map[string]bool{}},
		sums: sums{known: map[string]func() (string, error){}}, pace: pace{began: time.Now()}}
	for subject, act := range map[string]nats.MsgHandler{queue.ResultSubject + "*": h.came, queue.FullSubject + "*": h.noRoom, queue.LacksSubject + "*": func(m *nats.Msg) { go h.lacks(ctx, m) }} {
		sub, err := l.Conn.Subscribe(subject, act)
		if err != nil {
			stop()
			return nil, queue.Words(err)
		}
		sub.SetPendingLimits(-1, -1)
		h.subs = append(h.subs, sub)
	}
	go h.sweep(ctx)
	return h, nil
}

// Close stops listening.
func (h *Hander) Close() {
	for _, s := range h.subs {
		s.Unsubscribe()
	}
	h.stop()
	<-h.ended
}

// Do hands a task over and waits for its result. What the work refuses is an error
// of the kind and the words that it would have here; an error of the kind
// say.Away says that the work was not done. A context that ends cancels the task.
func (h *Hander) Do(ctx context.Context, t *task.Task, files []File) (*Got, error) {
	w, err := h.ask(ctx, t, files)
	if w != nil {
		defer h.leave(w)
	}
	if err != nil {
		return nil, err
	}
	h.pace.begin()
	for lost := range mostLost {
		r, err := h.wait(ctx, w)
		if err != nil {
			return nil, err
		}
		switch r.State {
		case noRoom:
			return nil, queue.Fullness(nil)
		case task.Refused:
			h.pace.end()
			return nil, r.Refusal.Error()
		case task.Cancelled:
			return nil, say.Refuse(say.Away, "start this again if it was a mistake: what is finished is kept", "%s was cancelled", title(w.task))
		case task.SetAside:
			return nil, say.Refuse(say.Away, fmt.Sprintf("quoin tasks shows it; mend what is wrong, and start this again, or quoin tasks --retry %s: what is finished is kept", task.Short(w.task.ID)),
				"%s failed %d times and is set aside: %s", title(w.task), r.Tries, r.Refusal.Text)
		}
		var got *Got
		err = h.patiently(ctx, func() (err error) { got, err = h.fetch(ctx, r); return err })
		switch {
		case err == nil:
			h.pace.end()
			return got, nil
		case !errors.Is(err, blob.ErrMissing):
			return nil, err
		}
		h.Log.Warn("a result can't be had whole; it is asked for again", "id", t.ID, "error", err.Error())
		select { // a cluster that lost a broker has it in a moment
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(time.Duration(lost) * time.Second):
		}
		if err := h.again(ctx, w, lost%2 == 1); err != nil {
			return nil, err
		}
	}
	return nil, say.Refuse(say.Away, "look at the broker's disk, and start this again: what is finished is kept", "the result of %s was lost %d times", title(w.task), mostLost)
}

// wait waits for the next answer to a task.
func (h *Hander) wait(ctx context.Context, w *wait) (*task.Result, error) {
	look := time.NewTicker(time.Second)
	defer look.Stop()
	for {
		select {
		case <-ctx.Done():
			h.cancel(w)
			return nil, ctx.Err()
		case r := <-w.got:
			return r, nil
		case <-look.C:
			if err := h.broken(); err != nil {
				return nil, err
			}
		}
	}
}

func (h *Hander) broken() error {
	if h.Broken == nil {
		return nil
	}
	return h.Broken()
}

func title(t *task.Task) string {
	if t.Title != "" {
		return t.Title
	}
	return string(t.Kind) + " " + task.Short(t.ID)
}

// ask makes the task known and puts it into the queue.
func (h *Hander) ask(ctx context.Context, t *task.Task, files []File) (*wait, error) {
	t.Engine, t.User, t.Priority, t.Batch = h.Engine, h.User, h.Priority, clip(h.Batch)
	t.Title = clip(t.Title)
	t.Files = map[string]string{}
	for _, f := range files {
		sum, err := h.sums.of(f.Path)
		if err != nil {
			return nil, err
		}
		t.Files[f.Name] = sum
	}
	if err := t.Seal(); err != nil {
		return nil, err
	}
	if len(t.Input) > task.MostBytes/2 {
		return nil, fmt.Errorf("%s is too much for one message: %d bytes", title(t), len(t.Input))
	}
	h.mu.Lock()
	if w := h.waiting[t.ID]; w != nil { // the same work twice in one night
		w.others++
		h.mu.Unlock()
		return &wait{task: t, files: files, got: w.got}, nil
	}
	w := &wait{task: t, files: files, got: make(chan *task.Result, 64), asked: time.Now(), patience: 2 * time.Second}
	h.waiting[t.ID] = w
	h.mu.Unlock()
	return w, h.again(ctx, w, false)
}

func clip(s string) string {
	s = strings.ToValidUTF8(s, "?")
	for len(s) > 250 {
		s = strings.ToValidUTF8(s[:250], "")
	}
	return s
}

// leave forgets a task that nobody here waits for any more.
func (h *Hander) leave(w *wait) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if one := h.waiting[w.task.ID]; one != nil {
		if one.others--; one.others < 0 {
			delete(h.waiting, w.task.ID)
		}
	}
}

// again puts a task into the queue unless it is there or its result is: asking
// twice changes nothing. afresh takes no result that is there already.
func (h *Hander) again(ctx context.Context, w *wait, afresh bool) error {
	if afresh {
		h.drop(ctx, w.task.ID)
	} else if r := h.result(ctx, w.task.ID); r != nil {
		if r.State == task.Done || r.State == task.Refused || w.there.Load() {
			h.deliver(r)
			return nil
		}
		h.drop(ctx, w.task.ID) // set aside or cancelled some other day
	}
	if err := h.patiently(ctx, func() error { return h.put(ctx, w) }); err != nil {
		return err
	}
	w.there.Store(true)
	h.wake()
	return nil
}

// mostLost is how often a result may be lost on its way.
const mostLost = 10

// away is how long the queue may be away before what needs it is given up: a
// machine starts again within it.
const away = 10 * time.Minute

// patiently does something again while the engine is away or chooses its leader.
func (h *Hander) patiently(ctx context.Context, do func() error) error {
	told := false
	for began, wait := time.Now(), 50*time.Millisecond; ; wait = min(2*wait, 2*time.Second) {
		err := do()
		broken := h.broken()
		switch {
		case err == nil:
			return nil
		case broken != nil:
			return broken
		case ctx.Err() != nil:
			return ctx.Err()
		case !queue.Passing(err) || time.Since(began) > away:
			return queue.Words(err)
		case !told && time.Since(began) > 5*time.Second:
			told = true
			h.Log.Warn("the queue does not answer; this waits for it", "error", err.Error())
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(wait):
		}
		within, stop := context.WithTimeout(ctx, 20*time.Second)
		h.line.Ensure(within)
		stop()
		h.lanes.close()
	}
}

// put sends a task's contents, opens its lane, and asks for it.
func (h *Hander) put(ctx context.Context, w *wait) error {
	for _, f := range w.files {
		if err := h.store.SendFile(ctx, w.task.Files[f.Name], f.Path); err != nil {
			return err
		}
	}
	if err := h.lanes.open(ctx, w.task); err != nil {
		return err
	}
	data, err := json.Marshal(w.task)
	if err != nil {
		return err
	}
	_, err = h.line.JS.Publish(ctx, w.task.Subject(), data, jetstream.WithRetryAttempts(4))
	if err != nil && strings.Contains(err.Error(), "maximum messages per subject") { // it is there
		return nil
	}
	return err
}

// wake tells workers that there is work, not more often than they can look.
func (h *Hander) wake() {
	h.mu.Lock()
	defer h.mu.Unlock()
	if now := time.Now(); now.Sub(h.woken) > 20*time.Millisecond {
		h.woken = now
		h.line.Conn.Publish(queue.WakeSubject, nil)
	}
}
