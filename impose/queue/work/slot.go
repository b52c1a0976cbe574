package work

import (
	"context"
	"sync"
	"time"

	"github.com/nats-io/nats.go/jetstream"
	"golang.org/x/sync/semaphore"

	"quoin/impose/queue"
)

// slot does one piece after the other. While their results are stored, which waits
// for disks more than it works, the next one is done.
func (w *Worker) slot(ctx context.Context) {
	doer := w.Doer()
	defer doer.Close()
	to := &outgoing{room: semaphore.NewWeighted(mostOutgoing)}
	defer to.all.Wait()
	var ahead chan taken
	defer func() { w.giveBack(ahead) }()
	quick := 0 // pieces in a row that took no time to speak of
	for last := mostAhead; ctx.Err() == nil && !w.draining(); {
		if w.failures.rest(ctx, w.drain); ctx.Err() != nil || w.draining() {
			break
		}
		most := 1
		if quick >= 8 {
			most = 32 // small ones come by the handful
		}
		t := w.next(ctx, ahead, most)
		ahead = nil
		if t.err != nil {
			w.Log.Warn("the queue is away", "error", t.err.Error())
			w.pause(ctx, time.Second)
			if queue.Gone(t.err) {
				w.line.Ensure(ctx)
			}
			continue
		}
		w.sayOthers()
		if len(t.list) == 0 {
			w.pause(ctx, time.Second)
			continue
		}
		if last < mostAhead {
			ahead = make(chan taken, 1)
			go func(to chan taken) { to <- w.take(ctx, most) }(ahead)
		}
		began := time.Now()
		w.several(ctx, doer, t.list, to)
		if last = time.Since(began); last < time.Duration(len(t.list))*10*time.Millisecond {
			quick += len(t.list)
		} else {
			quick = 0
		}
	}
}

// mostAhead is how long pieces may take for the next ones to be taken while these
// are done: no worker should sit on a piece that another could do.
const mostAhead = time.Second

// taken are tasks that were taken out of the queue; they are said to be done from
// then on.
type taken struct {
	list []jetstream.Msg
	err  error
}

func (w *Worker) take(ctx context.Context, most int) taken {
	list, err := w.lanes.take(ctx, most)
	w.held.add(list)
	return taken{list, err}
}

// next returns what was taken ahead, or takes some.
func (w *Worker) next(ctx context.Context, ahead chan taken, most int) taken {
	if ahead != nil {
		if t := <-ahead; t.err == nil && len(t.list) > 0 {
			return t
		}
	}
	return w.take(ctx, most)
}

// giveBack lets others have what was taken ahead.
func (w *Worker) giveBack(ahead chan taken) {
	if ahead == nil {
		return
	}
	for _, m := range (<-ahead).list {
		m.Nak()
		w.held.letGo(m)
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

// several does a handful of tasks. Each is acknowledged once its own result is
// stored, and said to be done until then.
func (w *Worker) several(ctx context.Context, doer Doer, list []jetstream.Msg, to *outgoing) {
	for i, m := range list {
		if ctx.Err() != nil || w.draining() && i > 0 {
			m.Nak() // another worker has it at once
			w.held.letGo(m)
			continue
		}
		w.one(ctx, doer, m, to)
	}
}
