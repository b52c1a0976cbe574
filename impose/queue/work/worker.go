// Package work takes tasks from the queue, does them in processes of bounded
// memory and time, and stores their results. A task is acknowledged once its
// result is stored, so the piece of a worker that dies is given to another.
package work

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"quoin/impose/queue"
	"quoin/impose/queue/blob"
	"quoin/impose/queue/task"
)

// Options say how a worker works.
type Options struct {
	Engine string // the version that is run here
	Slots  int    // pieces at a time
	Cache  *blob.Cache
	Store  *blob.Store
	// Doer returns what does the pieces of one slot, one at a time.
	Doer   func() Doer
	Time   time.Duration // most of one piece
	Folder string        // for results on their way; "" is the system's
	Log    *slog.Logger
}

// Doer does pieces. An error says that the piece failed, as by a crash, and may
// be tried again; what the work itself refuses is an answer.
type Doer interface {
	// Do does a piece, whose contents lie where lies says by their sums, and
	// writes its files into dir.
	Do(ctx context.Context, t *task.Task, lies map[string]string, dir string) (*Answer, error)
	Close()
}

// Answer is what came of a piece: the names of its files in dir, in order.
type Answer struct {
	Files   []string       `json:"files,omitempty"`
	Output  []byte         `json:"output,omitempty"`
	Refusal *task.Answered `json:"refusal,omitempty"`
}

// Worker takes tasks until it is told to stop.
type Worker struct {
	Options
	line  *queue.Line
	lanes lanes
	wake  chan struct{}
	drain chan struct{}
	stop  sync.Once
	name  string

	mu       sync.Mutex
	running  map[string]context.CancelCauseFunc
	held     held
	failures failures
	results  results

	Counts
}

// Counts are what a monitor reads.
type Counts struct {
	Done, Refused, Failed, SetAside, Lacking atomic.Int64
	Busy                                     atomic.Int64
	Millis                                   atomic.Int64
}

// Tries is how often a piece may fail before it is set aside.
const Tries = 3

// deaths is how often the worker under a piece may die: more is no accident.
const deaths = 25

// errCancelled ends a piece that nobody wants any more.
var errCancelled = errors.New("cancelled")

// New returns a worker on a line.
func New(l *queue.Line, o Options) *Worker {
	host, _ := os.Hostname()
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	return &Worker{
		Options: o, line: l, wake: make(chan struct{}, 1), drain: make(chan struct{}), name: fmt.Sprintf("%s/%d", host, os.Getpid()),
		running: map[string]context.CancelCauseFunc{}, lanes: newLanes(l, o.Engine),
		held: held{list: map[jetstream.Msg]bool{}}, failures: failures{line: l, known: map[string]failure{}}, results: results{l, o.Store},
	}
}

// Drain lets the worker finish what it has begun and take no more.
func (w *Worker) Drain() { w.stop.Do(func() { close(w.drain) }) }

func (w *Worker) draining() bool {
	select {
	case <-w.drain:
		return true
	default:
		return false
	}
}

// Run works until Drain, then returns; a context that ends stops at once what is
// being done, which then goes to another worker.
func (w *Worker) Run(ctx context.Context) error {
	woken, err := w.line.Conn.Subscribe(queue.WakeSubject, func(*nats.Msg) { w.rouse() })
	if err != nil {
		return queue.Words(err)
	}
	defer woken.Unsubscribe()
	told, err := w.line.Conn.Subscribe(queue.TellSubject, w.told)
	if err != nil {
		return queue.Words(err)
	}
	defer told.Unsubscribe()
	w.Log.Info("worker joins", "engine", w.Engine, "slots", w.Slots)
	ended := make(chan struct{})
	var beats, all sync.WaitGroup
	beats.Go(func() { w.held.beat(ended) })
	for range w.Slots {
		all.Go(func() { w.slot(ctx) })
	}
	all.Wait()
	close(ended)
	beats.Wait()
	w.Log.Info("worker leaves", "done", w.Done.Load())
	if w.draining() {
		return nil
	}
	return ctx.Err()
}

func (w *Worker) rouse() {
	w.lanes.stale()
	select {
	case w.wake <- struct{}{}:
	default:
	}
}

// told carries out what all workers are told.
func (w *Worker) told(m *nats.Msg) {
	var o queue.Order
	if json.Unmarshal(m.Data, &o) != nil {
		return
	}
	if o.Drain {
		w.Log.Info("worker drains, as it was told")
		w.Drain()
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if stop := w.running[o.Cancel]; stop != nil {
		stop(errCancelled)
	}
}

func (w *Worker) pause(ctx context.Context, d time.Duration) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
	case <-w.drain:
	case <-w.wake:
	case <-t.C:
	}
}

// sayOthers tells once of pieces that wait for another version: they are not
// taken, as they would come out in other bytes.
func (w *Worker) sayOthers() {
	for engine, n := range w.lanes.others() {
		w.Log.Warn("pieces wait for another version of quoin, which this one may not do: the bytes would differ", "pieces", n, "theirs", engine, "ours", w.Engine)
	}
}
