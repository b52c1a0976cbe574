// Package status says what becomes of the tasks of a queue, for people and for
// monitors, and changes what people want changed: retry, cancel, drain.
package status

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"quoin/impose/queue"
	"quoin/impose/queue/task"
	"quoin/impose/say"
)

// Schema names the form of the list.
const Schema = "quoin/tasks/1"

// List is what there is to say of a queue's tasks.
type List struct {
	Schema string   `json:"schema"`
	Tasks  []Task   `json:"tasks"` // those that are done are not among them unless they are asked for
	Lanes  []Lane   `json:"lanes"`
	Totals Totals   `json:"totals"`
	Notes  []string `json:"notes,omitempty"`
}

// Task is one of them.
type Task struct {
	ID       string     `json:"id"`
	Kind     task.Kind  `json:"kind"`
	State    task.State `json:"state"`
	Tries    int        `json:"tries"`
	Reason   string     `json:"reason"`
	Title    string     `json:"title,omitempty"`
	Batch    string     `json:"batch,omitempty"`
	User     string     `json:"user,omitempty"`
	Priority int        `json:"priority,omitempty"`
	Engine   string     `json:"engine,omitempty"`
	Worker   string     `json:"worker,omitempty"`
	Since    *time.Time `json:"since,omitempty"`
}

// Lane is what waits of one engine, priority and user.
type Lane struct {
	Engine   string `json:"engine"`
	Priority int    `json:"priority"`
	User     string `json:"user"`
	Waiting  uint64 `json:"waiting"`
	Busy     int    `json:"busy"`
}

// Totals count.
type Totals struct {
	Queued     uint64 `json:"queued"` // and running
	SetAside   uint64 `json:"set_aside"`
	Results    uint64 `json:"results"`
	StoreBytes uint64 `json:"store_bytes"`
}

// most is how many tasks a list shows of those that wait.
const most = 10_000

// Read lists what waits, what is being done and what was set aside, and with all
// also what was done within three days.
func Read(ctx context.Context, l *queue.Line, all bool) (*List, error) {
	out := &List{Schema: Schema, Tasks: []Task{}, Lanes: []Lane{}}
	notes, err := states(ctx, l)
	if err != nil {
		return nil, queue.Words(err)
	}
	totals, err := readTotals(ctx, l)
	if err != nil {
		return nil, queue.Words(err)
	}
	out.Totals = *totals
	lanes, err := queue.Lanes(ctx, l)
	if err != nil {
		return nil, queue.Words(err)
	}
	for _, lane := range lanes {
		out.Lanes = append(out.Lanes, Lane{lane.Engine, lane.Priority, lane.User, lane.Waiting, lane.Busy})
	}
	slices.SortFunc(out.Lanes, func(a, b Lane) int {
		return cmp.Or(cmp.Compare(b.Priority, a.Priority), cmp.Compare(a.User, b.User), cmp.Compare(a.Engine, b.Engine))
	})
	seen := map[string]bool{}
	err = each(ctx, l, queue.Tasks, func(data []byte) {
		if t, err := task.Parse(data); err == nil {
			n := notes[t.ID]
			one := ofTask(t, cmp.Or(n.State, task.Queued), n.Tries, n.Reason)
			if one.State != task.Running {
				one.State = task.Queued
			} else {
				one.Worker, one.Since = n.Worker, &n.Since
			}
			seen[t.ID] = true
			out.Tasks = append(out.Tasks, one)
		}
	})
	if err != nil {
		return nil, queue.Words(err)
	}
	err = each(ctx, l, queue.Aside, func(data []byte) {
		var k queue.Kept
		if json.Unmarshal(data, &k) == nil && k.Task != nil && !seen[k.Task.ID] {
			one := ofTask(k.Task, task.SetAside, k.Tries, k.Reason)
			one.Since = &k.When
			seen[k.Task.ID] = true
			out.Tasks = append(out.Tasks, one)
		}
	})
	if err != nil || !all {
		return out, queue.Words(err)
	}
	err = each(ctx, l, queue.Results, func(data []byte) {
		r, err := task.ParseResult(data)
		if err != nil || seen[r.ID] {
			return
		}
		one := Task{ID: r.ID, Kind: r.Kind, State: r.State, Tries: r.Tries, Title: r.Title, Batch: r.Batch, User: r.User, Worker: r.Worker}
		if r.Refusal != nil {
			one.Reason = r.Refusal.Text
		}
		out.Tasks = append(out.Tasks, one)
	})
	return out, queue.Words(err)
}

func ofTask(t *task.Task, s task.State, tries int, reason string) Task {
	return Task{ID: t.ID, Kind: t.Kind, State: s, Tries: tries, Reason: reason, Title: t.Title, Batch: t.Batch, User: t.User, Priority: t.Priority, Engine: t.Engine}
}

// states returns the notes on tasks by their ids.
func states(ctx context.Context, l *queue.Line) (map[string]queue.StateNote, error) {
	notes := map[string]queue.StateNote{}
	err := eachMessage(ctx, l, "KV_"+queue.States, func(m *jetstream.RawStreamMsg) {
		var n queue.StateNote
		if json.Unmarshal(m.Data, &n) == nil {
			notes[m.Subject[strings.LastIndexByte(m.Subject, '.')+1:]] = n
		}
	})
	return notes, err
}

func readTotals(ctx context.Context, l *queue.Line) (*Totals, error) {
	var t Totals
	for name, n := range map[string]*uint64{queue.Tasks: &t.Queued, queue.Aside: &t.SetAside, queue.Results: &t.Results, "OBJ_" + queue.Content: nil} {
		s, err := l.JS.Stream(ctx, name)
		if err != nil {
			return nil, err
		}
		state := s.CachedInfo().State
		if n != nil {
			*n = state.Msgs
		}
		t.StoreBytes += state.Bytes
	}
	return &t, nil
}

func each(ctx context.Context, l *queue.Line, name string, look func([]byte)) error {
	return eachMessage(ctx, l, name, func(m *jetstream.RawStreamMsg) { look(m.Data) })
}

// eachMessage looks at the messages of a stream, up to a bound, without taking
// them.
func eachMessage(ctx context.Context, l *queue.Line, name string, look func(*jetstream.RawStreamMsg)) error {
	s, err := l.JS.Stream(ctx, name)
	if err != nil {
		return err
	}
	state := s.CachedInfo().State
	for seq, n := state.FirstSeq, 0; n < most && state.Msgs > 0 && seq <= state.LastSeq; n++ {
		m, err := s.GetMsg(ctx, seq, jetstream.WithGetMsgSubject(">"))
		if errors.Is(err, jetstream.ErrMsgNotFound) {
			return nil
		}
		if err != nil {
			return err
		}
		look(m)
		seq = m.Sequence + 1
	}
	return nil
}

// Find returns the id that a text is the beginning of, among the tasks of a list.
func (l *List) Find(text string) (*Task, error) {
	var found *Task
	for i := range l.Tasks {
		if text != "" && strings.HasPrefix(l.Tasks[i].ID, text) {
			if found != nil {
				return nil, say.Refuse(say.Usage, "write more of it", "several tasks begin with %s", text)
			}
			found = &l.Tasks[i]
		}
	}
	if found == nil {
		return nil, say.Refuse(say.Usage, "quoin tasks lists them", "no task is known as %s", text)
	}
	return found, nil
}

// Retry puts a task that was set aside into the queue again.
func Retry(ctx context.Context, l *queue.Line, id string) error {
	s, err := l.JS.Stream(ctx, queue.Aside)
	if err != nil {
		return queue.Words(err)
	}
	m, err := s.GetLastMsgForSubject(ctx, queue.AsideSubject+id)
	if errors.Is(err, jetstream.ErrMsgNotFound) {
		return say.Refuse(say.Usage, "quoin tasks lists those that are", "task %s is not set aside", task.Short(id))
	}
	if err != nil {
		return queue.Words(err)
	}
	var k queue.Kept
	if err := json.Unmarshal(m.Data, &k); err != nil || k.Task == nil {
		return fmt.Errorf("what was set aside as %s can't be read: %v", task.Short(id), err)
	}
	data, err := json.Marshal(k.Task)
	if err != nil {
		return err
	}
	if err := queue.OpenLane(ctx, l, k.Task); err != nil {
		return queue.Words(err)
	}
	if err := forget(ctx, l, id); err != nil {
		return err
	}
	queue.SetState(l, id, queue.StateNote{State: task.Queued, Kind: k.Task.Kind, Title: k.Task.Title, Since: time.Now().UTC()})
	if _, err := l.JS.Publish(ctx, k.Task.Subject(), data); err != nil && !strings.Contains(err.Error(), "maximum messages per subject") {
		return queue.Words(err)
	}
	if err := s.Purge(ctx, jetstream.WithPurgeSubject(queue.AsideSubject+id)); err != nil {
		return queue.Words(err)
	}
	return l.Conn.Publish(queue.WakeSubject, nil)
}

// forget takes the stored result of a task away.
func forget(ctx context.Context, l *queue.Line, id string) error {
	s, err := l.JS.Stream(ctx, queue.Results)
	if err == nil {
		err = s.Purge(ctx, jetstream.WithPurgeSubject(queue.ResultSubject+id))
	}
	return queue.Words(err)
}

// Cancel takes a task out of the queue, ends it wherever it is being done, and
// tells who waits for it.
func Cancel(ctx context.Context, l *queue.Line, t *Task) error {
	s, err := l.JS.Stream(ctx, queue.Tasks)
	if err != nil {
		return queue.Words(err)
	}
	r, err := json.Marshal((&task.Task{ID: t.ID, Kind: t.Kind, User: t.User, Batch: t.Batch, Title: t.Title}).Answer(task.Cancelled))
	if err != nil {
		return err
	}
	if _, err := l.JS.Publish(ctx, queue.ResultSubject+t.ID, r); err != nil {
		return queue.Words(err)
	}
	if err := s.Purge(ctx, jetstream.WithPurgeSubject("quoin.task.*.*.*."+t.ID)); err != nil {
		return queue.Words(err)
	}
	if s, err := l.JS.Stream(ctx, queue.Aside); err == nil {
		s.Purge(ctx, jetstream.WithPurgeSubject(queue.AsideSubject+t.ID))
	}
	queue.SetState(l, t.ID, queue.StateNote{State: task.Cancelled, Kind: t.Kind, Title: t.Title, Batch: t.Batch, User: t.User, Since: time.Now().UTC()})
	return tell(l.Conn, queue.Order{Cancel: t.ID})
}

// Drain tells all workers to finish what they have begun and to leave.
func Drain(l *queue.Line) error { return tell(l.Conn, queue.Order{Drain: true}) }

func tell(nc *nats.Conn, o queue.Order) error {
	data, err := json.Marshal(o)
	if err != nil {
		return err
	}
	if err := nc.Publish(queue.TellSubject, data); err != nil {
		return queue.Words(err)
	}
	return queue.Words(nc.Flush())
}

// Clear takes results and contents out of the store: what is needed again is sent
// or done again.
func Clear(ctx context.Context, l *queue.Line) error {
	for _, name := range []string{queue.Results, "OBJ_" + queue.Content} {
		s, err := l.JS.Stream(ctx, name)
		if err == nil {
			err = s.Purge(ctx)
		}
		if err != nil {
			return queue.Words(err)
		}
	}
	return nil
}
