package queue

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"strconv"
	"sync"
	"time"

	"github.com/nats-io/nats.go/jetstream"

	"quoin/impose/queue/task"
)

// LaneInfo is a lane of tasks: those of one engine, priority and user.
type LaneInfo struct {
	Name     string
	Engine   string
	Priority int
	User     string
	Waiting  uint64 // for a worker
	Busy     int    // at one
}

// AckWait is how long a worker may be silent before its piece is given to
// another. QUOIN_ACK_WAIT sets it for tests that kill workers.
var AckWait = sync.OnceValue(func() time.Duration {
	if d, err := time.ParseDuration(os.Getenv("QUOIN_ACK_WAIT")); err == nil && d >= 100*time.Millisecond {
		return d
	}
	return 15 * time.Second
})

// OpenLane makes the lane of a task where there is none.
func OpenLane(ctx context.Context, l *Line, t *task.Task) error {
	ctx, stop := context.WithTimeout(ctx, 10*time.Second)
	defer stop()
	_, err := l.JS.CreateOrUpdateConsumer(ctx, Tasks, jetstream.ConsumerConfig{
		Durable:       fmt.Sprintf("%s-%d-%s", task.EngineToken(t.Engine), t.Priority, task.Token(t.User)),
		FilterSubject: task.Lane(t.Engine, t.Priority, t.User) + ".*", AckPolicy: jetstream.AckExplicitPolicy, AckWait: AckWait(), MaxDeliver: -1, MaxAckPending: 100_000,
		InactiveThreshold: Age, MaxWaiting: 4096,
		Metadata: map[string]string{"engine": t.Engine, "priority": strconv.Itoa(t.Priority), "user": t.User},
	})
	return err
}

// Lanes lists all lanes.
func Lanes(ctx context.Context, l *Line) ([]LaneInfo, error) {
	ctx, stop := context.WithTimeout(ctx, 10*time.Second)
	defer stop()
	s, err := l.Stream(ctx, Tasks)
	if err != nil {
		return nil, err
	}
	var list []LaneInfo
	all := s.ListConsumers(ctx)
	for c := range all.Info() {
		m := c.Config.Metadata
		priority, err := strconv.Atoi(m["priority"])
		if err != nil || m["user"] == "" {
			continue
		}
		list = append(list, LaneInfo{Name: c.Name, Engine: m["engine"], Priority: priority, User: m["user"], Waiting: c.NumPending, Busy: c.NumAckPending})
	}
	return list, all.Err()
}

// StateNote says for people what becomes of a task.
type StateNote struct {
	State  task.State `json:"state"`
	Kind   task.Kind  `json:"kind"`
	Title  string     `json:"title,omitempty"`
	Batch  string     `json:"batch,omitempty"`
	User   string     `json:"user,omitempty"`
	Tries  int        `json:"tries,omitempty"`
	Reason string     `json:"reason,omitempty"`
	Worker string     `json:"worker,omitempty"`
	Since  time.Time  `json:"since"`
}

// SetState notes a task's state and does not wait: it is for people only.
func SetState(l *Line, id string, s StateNote) {
	if data, err := json.Marshal(s); err == nil {
		l.Conn.Publish("$KV."+States+"."+id, data)
	}
}

// StateOf returns the last note on a task.
func StateOf(ctx context.Context, l *Line, id string) (s StateNote, err error) {
	ctx, stop := context.WithTimeout(ctx, 2*time.Second)
	defer stop()
	kv, err := l.JS.KeyValue(ctx, States)
	if err != nil {
		return s, err
	}
	e, err := kv.Get(ctx, id)
	if err != nil {
		return s, err
	}
	return s, json.Unmarshal(e.Value(), &s)
}

// Kept is a task that was set aside.
type Kept struct {
	Task   *task.Task `json:"task"`
	Reason string     `json:"reason"`
	Tries  int        `json:"tries"`
	When   time.Time  `json:"when"`
}
