// Package queue is the line between those who hand work over and those who do it:
// a connection to the engine, and the streams in which tasks, results and what was
// set aside lie.
//
// The queue is never the truth. Who hands work over keeps what was asked, asks
// again for what did not come, and proves each result by its SHA-256; a store
// that is thrown away costs time and no work.
package queue

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"quoin/impose/say"
)

// The streams.
const (
	Tasks   = "quoin-tasks"   // waits, or is being done; each is taken out when its result is stored
	Results = "quoin-results" // the last answer to each task
	Aside   = "quoin-aside"   // what failed three times, with its input
	States  = "quoin-state"   // who does what just now; in memory, for people
	Content = "quoin-content" // artworks, dies, results, by their SHA-256
)

// The subjects beside the streams'.
const (
	ResultSubject = "quoin.result." // and an id
	AsideSubject  = "quoin.aside."  // and an id
	LacksSubject  = "quoin.lacks."  // and an id: a content is not in the store
	FullSubject   = "quoin.full."   // and an id: its result finds no room in the store
	WakeSubject   = "quoin.wake"    // there is work
	TellSubject   = "quoin.tell"    // something for all workers: see Order
)

// Order is what all workers are told at once.
type Order struct {
	Cancel string `json:"cancel,omitempty"` // id of a task
	Drain  bool   `json:"drain,omitempty"`  // finish what is begun, take no more
}

// Age is how long results and contents lie in the store.
const Age = 72 * time.Hour

// Line is a connection. It is safe for concurrent use.
type Line struct {
	Conn *nats.Conn
	JS   jetstream.JetStream
	User string // whose work is handed over

	mu       sync.Mutex
	replicas int

	handles sync.Map // of streams and of the object store, by name: asking for one each time is a message more
}

// Stream returns the handle of a stream. It lasts until the streams are looked after
// again.
func (l *Line) Stream(ctx context.Context, name string) (jetstream.Stream, error) {
	return handle(ctx, l, name, l.JS.Stream)
}

// Objects returns the handle of the object store.
func (l *Line) Objects(ctx context.Context) (jetstream.ObjectStore, error) {
	return handle(ctx, l, Content, l.JS.ObjectStore)
}

func handle[T any](ctx context.Context, l *Line, name string, ask func(context.Context, string) (T, error)) (T, error) {
	if h, ok := l.handles.Load(name); ok {
		return h.(T), nil
	}
	h, err := ask(ctx, name)
	if err == nil {
		l.handles.Store(name, h)
	}
	return h, err
}

// open asks the engine for its streams and makes those that are missing.
func open(ctx context.Context, nc *nats.Conn, user string) (*Line, error) {
	js, err := jetstream.New(nc, jetstream.WithPublishAsyncMaxPending(512))
	if err != nil {
		return nil, err
	}
	l := &Line{Conn: nc, JS: js, User: user, replicas: 1}
	if nc.ConnectedClusterName() != "" {
		l.replicas = 3
	}
	return l, l.Ensure(ctx)
}

// Ensure makes the streams that are missing, as after a store was thrown away, and
// forgets their handles.
func (l *Line) Ensure(ctx context.Context) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.handles.Clear() // what they know of their streams may be so no more
	var err error
	for wait := 50 * time.Millisecond; ; wait = min(2*wait, 2*time.Second) {
		if err = l.ensure(ctx); err == nil || ctx.Err() != nil {
			break
		}
		if t, ok := ctx.Deadline(); ok && time.Until(t) < wait {
			break
		}
		select { // a cluster that has no leader yet
		case <-ctx.Done():
		case <-time.After(wait):
		}
	}
	if err != nil {
		return Words(fmt.Errorf("the queue's streams: %w", err))
	}
	return nil
}

func (l *Line) ensure(ctx context.Context) error {
	ctx, stop := context.WithTimeout(ctx, 10*time.Second)
	defer stop()
	for _, c := range []jetstream.StreamConfig{
		{Name: Tasks, Subjects: []string{"quoin.task.>"}, Retention: jetstream.WorkQueuePolicy, Discard: jetstream.DiscardNew, DiscardNewPerSubject: true, MaxMsgsPerSubject: 1, AllowDirect: true},
		{Name: Results, Subjects: []string{ResultSubject + "*"}, MaxMsgsPerSubject: 1, MaxAge: Age, AllowDirect: true},
		{Name: Aside, Subjects: []string{AsideSubject + "*"}, MaxMsgsPerSubject: 1, AllowDirect: true},
	} {
		// In a cluster a broker that starts again lags behind: only the leader is asked.
		c.Replicas, c.AllowDirect = l.replicas, c.AllowDirect && l.replicas == 1
		if err := missing(ctx, c.Name, l.JS, func() error { _, err := l.JS.CreateStream(ctx, c); return err }); err != nil {
			return err
		}
	}
	if err := missing(ctx, "KV_"+States, l.JS, func() error {
		_, err := l.JS.CreateKeyValue(ctx, jetstream.KeyValueConfig{Bucket: States, Storage: jetstream.MemoryStorage, TTL: Age, Replicas: l.replicas, MaxBytes: 256 << 20})
		return err
	}); err != nil {
		return err
	}
	return l.ensureContent(ctx)
}

// ensureContent makes the object store that contents travel through. In a cluster
// only the leader of its stream is asked, from the first moment on: a handle that
// was had before the stream stopped answering directly would ask nobody for ever.
func (l *Line) ensureContent(ctx context.Context) error {
	name, direct := "OBJ_"+Content, l.replicas == 1
	if err := missing(ctx, name, l.JS, func() error {
		// As the client's own object stores are made, and read back by it.
		_, err := l.JS.CreateStream(ctx, jetstream.StreamConfig{Name: name, Subjects: []string{"$O." + Content + ".C.>", "$O." + Content + ".M.>"}, MaxAge: Age,
			Discard: jetstream.DiscardNew, AllowRollup: true, AllowDirect: direct, Replicas: l.replicas})
		return err
	}); err != nil {
		return err
	}
	s, err := l.JS.Stream(ctx, name)
	if err != nil || s.CachedInfo().Config.AllowDirect == direct {
		return err
	}
	c := s.CachedInfo().Config // of an older quoin
	c.AllowDirect = direct
	_, err = l.JS.UpdateStream(ctx, c)
	return err
}

// missing makes a stream that is not there; another may make it at the same time.
func missing(ctx context.Context, name string, js jetstream.JetStream, create func() error) error {
	_, err := js.Stream(ctx, name)
	if !errors.Is(err, jetstream.ErrStreamNotFound) {
		return err
	}
	err = create()
	if errors.Is(err, jetstream.ErrStreamNameAlreadyInUse) || errors.Is(err, jetstream.ErrBucketExists) {
		return nil
	}
	return err
}

// Close returns the connection up.
func (l *Line) Close() { l.Conn.Close() }

// Words returns an error of the engine as one that people can act on.
func Words(err error) error {
	var said *say.Refusal
	switch {
	case err == nil:
		return nil
	case errors.As(err, &said):
		return err // in words already
	case Full(err):
		return Fullness(err)
	case Passing(err), errors.Is(err, nats.ErrNoServers), errors.Is(err, nats.ErrConnectionClosed), errors.Is(err, jetstream.ErrJetStreamNotEnabled):
		return &say.Refusal{Kind: say.Away, Err: err, Text: "the queue does not answer", Way: "see whether quoin queue runs, and start this again: what is finished is kept"}
	case broken(err):
		return &say.Refusal{Kind: say.Away, Err: err, Text: "the queue can't do what it should", Way: "see what quoin queue says, and start this again: what is finished is kept"}
	}
	return err
}

// broken reports whether the engine calls an error its own: as in HTTP, 500 and above.
// It is nobody's order or file that is wrong then.
func broken(err error) bool {
	var api *jetstream.APIError
	return errors.As(err, &api) && api.Code >= 500
}

// Fullness says that the store is full.
func Fullness(err error) error {
	return &say.Refusal{Kind: say.Disk, Text: "the queue's store is full", Err: err,
		Way: "make room on the broker's disk or raise --store-limit; results go by themselves after three days, quoin tasks --clear takes them out now; then start this again: what is finished is kept"}
}

// Full reports whether an error says that the store has no room.
func Full(err error) bool {
	var api *jetstream.APIError
	return err != nil && (errors.As(err, &api) && (api.ErrorCode == 10047 || api.ErrorCode == 10023 || api.ErrorCode == 10077 || strings.Contains(api.Description, "maximum bytes")) ||
		strings.Contains(err.Error(), "no space left") || strings.Contains(err.Error(), "insufficient storage"))
}

// Passing reports whether an error may be gone in a moment: the broker starts
// again, or a cluster chooses its leader.
func Passing(err error) bool {
	var api *jetstream.APIError
	return err != nil && !Full(err) && (Gone(err) || errors.Is(err, nats.ErrTimeout) || errors.Is(err, context.DeadlineExceeded) || errors.Is(err, nats.ErrReconnectBufExceeded) ||
		errors.Is(err, nats.ErrDisconnected) || errors.As(err, &api) && api.Code == 503)
}

// Gone reports whether an error says that a stream is not there any more.
func Gone(err error) bool {
	return errors.Is(err, jetstream.ErrStreamNotFound) || errors.Is(err, jetstream.ErrNoStreamResponse) || errors.Is(err, jetstream.ErrBucketNotFound) ||
		errors.Is(err, jetstream.ErrConsumerNotFound) || errors.Is(err, nats.ErrNoResponders)
}
