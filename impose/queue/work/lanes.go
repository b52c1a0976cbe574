package work

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"sync"
	"time"

	"github.com/nats-io/nats.go/jetstream"

	"quoin/impose/queue"
)

// lanes are where tasks wait: one for each priority and user. The highest
// priority is served first, and within it the user who had least of this worker.
type lanes struct {
	line   *queue.Line
	engine string

	mu      *sync.Mutex
	list    []queue.LaneInfo
	looked  time.Time
	from    map[string]jetstream.Consumer
	share   map[string]time.Duration // that each user had
	strange map[string]uint64        // tasks of other engines that were not told of
	told    map[string]bool
}

func newLanes(l *queue.Line, engine string) lanes {
	return lanes{line: l, engine: engine, mu: new(sync.Mutex), from: map[string]jetstream.Consumer{}, share: map[string]time.Duration{},
		strange: map[string]uint64{}, told: map[string]bool{}}
}

// lookEvery is how often lanes are asked for; whoever hands work over wakes
// workers before that.
const lookEvery = 500 * time.Millisecond

func (l *lanes) stale() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.looked = time.Time{}
}

// served counts what a user had.
func (l *lanes) served(user string, took time.Duration) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.share[user] += took
}

// others returns the tasks that wait for other engines, each engine once.
func (l *lanes) others() map[string]uint64 {
	l.mu.Lock()
	defer l.mu.Unlock()
	out := l.strange
	l.strange = map[string]uint64{}
	return out
}

// look asks for the lanes, if that is due.
func (l *lanes) look(ctx context.Context) ([]queue.LaneInfo, error) {
	l.mu.Lock()
	if time.Since(l.looked) < lookEvery {
		defer l.mu.Unlock()
		return l.sorted(), nil
	}
	l.looked = time.Now()
	l.mu.Unlock()
	list, err := queue.Lanes(ctx, l.line)
	l.mu.Lock()
	defer l.mu.Unlock()
	if err != nil {
		l.looked = time.Time{}
		return nil, err
	}
	l.list = nil
	for _, lane := range list {
		switch {
		case lane.Engine == l.engine:
			l.list = append(l.list, lane)
		case lane.Waiting > 0 && !l.told[lane.Engine]:
			l.told[lane.Engine], l.strange[lane.Engine] = true, lane.Waiting
		}
	}
	return l.sorted(), nil
}

// sorted returns the lanes in the order in which they are asked. A user who was
// away begins where the others are, and does not catch up on all that time.
func (l *lanes) sorted() []queue.LaneInfo {
	least := time.Duration(-1)
	for _, lane := range l.list {
		if s, known := l.share[lane.User]; known && lane.Waiting > 0 && (least < 0 || s < least) {
			least = s
		}
	}
	list := slices.Clone(l.list)
	for _, lane := range list {
		if s := l.share[lane.User]; s < least && lane.Waiting == 0 {
			l.share[lane.User] = least
		}
	}
	slices.SortStableFunc(list, func(a, b queue.LaneInfo) int {
		return cmp.Or(cmp.Compare(b.Priority, a.Priority), cmp.Compare(l.share[a.User], l.share[b.User]))
	})
	return list
}

// take returns up to so many tasks of the first lane that has any.
func (l *lanes) take(ctx context.Context, most int) ([]jetstream.Msg, error) {
	list, err := l.look(ctx)
	if err != nil {
		return nil, err
	}
	for _, lane := range list {
		from, err := l.consumer(ctx, lane.Name)
		if err != nil {
			return nil, err
		}
		batch, err := from.FetchNoWait(most)
		if err != nil {
			l.forget(lane.Name)
			return nil, err
		}
		var got []jetstream.Msg
		for m := range batch.Messages() {
			got = append(got, m)
		}
		if err := batch.Error(); err != nil && len(got) == 0 {
			l.forget(lane.Name)
			if errors.Is(err, jetstream.ErrConsumerDeleted) || queue.Gone(err) {
				continue
			}
			return nil, err
		}
		if len(got) > 0 {
			return got, nil
		}
	}
	return nil, nil
}

func (l *lanes) consumer(ctx context.Context, name string) (jetstream.Consumer, error) {
	l.mu.Lock()
	c := l.from[name]
	l.mu.Unlock()
	if c != nil {
		return c, nil
	}
	c, err := l.line.JS.Consumer(ctx, queue.Tasks, name)
	if err != nil {
		l.stale()
		return nil, err
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.from[name] = c
	return c, nil
}

func (l *lanes) forget(name string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.from, name)
	l.looked = time.Time{}
}
