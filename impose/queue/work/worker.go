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
	"maps"
	"os"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
	"golang.org/x/sync/semaphore"

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

	mu      sync.Mutex
	running map[string]context.CancelCauseFunc
	held    map[jetstream.Msg]bool // tasks that are not answered yet
	failed  map[string]failure     // pieces that failed here
	rested  time.Time              // when it takes pieces again

	Counts
}

// Counts are what a monitor reads.
type Counts struct {
	Done, Refused, Failed, SetAside, Lacking atomic.Int64
	Busy                                     atomic.Int64
	Millis                                   atomic.Int64
}

// failure is what is known of a piece that failed here.
type failure struct {
	tries int       // by then, here and elsewhere
	left  time.Time // to others, since then
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
		running: map[string]context.CancelCauseFunc{}, held: map[jetstream.Msg]bool{}, failed: map[string]failure{}, lanes: newLanes(l, o.Engine),
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
	beats.Go(func() { w.beat(ended) })
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

// slot does one piece after the other. While their results are stored, which waits
// for disks more than it works, the next one is done.
func (w *Worker) slot(ctx context.Context) {
	doer := w.Doer()
	defer doer.Close()
	to := &outgoing{room: semaphore.NewWeighted(mostOutgoing)}
	defer to.all.Wait()
	quick := 0 // pieces in a row that took no time to speak of
	for ctx.Err() == nil && !w.draining() {
		if w.rest(ctx); ctx.Err() != nil || w.draining() {
			break
		}
		most := 1
		if quick >= 8 {
			most = 32 // small ones come by the handful
		}
		list, err := w.lanes.take(ctx, most)
		if err != nil {
			w.Log.Warn("the queue is away", "error", err.Error())
			w.pause(ctx, time.Second)
			if queue.Gone(err) {
				w.line.Ensure(ctx)
			}
			continue
		}
		w.sayOthers()
		if len(list) == 0 {
			w.pause(ctx, time.Second)
			continue
		}
		began := time.Now()
		w.several(ctx, doer, list, to)
		if time.Since(began) < time.Duration(len(list))*10*time.Millisecond {
			quick += len(list)
		} else {
			quick = 0
		}
	}
}

// outgoing are the results of a slot that are on their way into the store.
type outgoing struct {
	all  sync.WaitGroup
	room *semaphore.Weighted
}

// mostOutgoing is how many results of a slot that travel in their messages may be
// on their way at a time; one that is a content by itself counts as packWeight.
const (
	mostOutgoing = 32
	packWeight   = 8
)

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

// several does a handful of tasks. Each is acknowledged once its own result is
// stored, and said to be done until then.
func (w *Worker) several(ctx context.Context, doer Doer, list []jetstream.Msg, to *outgoing) {
	w.mu.Lock()
	for _, m := range list {
		w.held[m] = true
	}
	w.mu.Unlock()
	for i, m := range list {
		if ctx.Err() != nil || w.draining() && i > 0 {
			m.Nak() // another worker has it at once
			w.letGo(m)
			continue
		}
		w.one(ctx, doer, m, to)
	}
}

// letGo ends that a task is said to be done.
func (w *Worker) letGo(m jetstream.Msg) {
	w.mu.Lock()
	defer w.mu.Unlock()
	delete(w.held, m)
}

// beat says of tasks that they are being done.
func (w *Worker) beat(end chan struct{}) {
	t := time.NewTicker(queue.AckWait() / 3)
	defer t.Stop()
	for {
		select {
		case <-end:
			return
		case <-t.C:
			w.mu.Lock()
			list := slices.Collect(maps.Keys(w.held))
			w.mu.Unlock()
			for _, m := range list {
				m.InProgress()
			}
		}
	}
}
