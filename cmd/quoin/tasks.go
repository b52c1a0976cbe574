package main

import (
	"context"
	"log/slog"
	"time"

	"github.com/spf13/pflag"

	"quoin/impose/queue/status"
	"quoin/impose/queue/task"
	"quoin/impose/say"
)

const tasksExample = "quoin tasks --queue nats://127.0.0.1:4222"

var tasksVerb = verb{
	name:    "tasks",
	args:    "--queue URL [FLAGS]",
	short:   "list what a queue is asked to do, say what was set aside and why, retry or cancel it",
	example: tasksExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &tasksFlags{}
		v.line.add(fs)
		fs.BoolVar(&v.all, "all", false, "list what was done within three days too")
		fs.StringVar(&v.retry, "retry", "", "put the task of this `ID`, that was set aside, into the queue again; all for all of them")
		fs.StringVar(&v.cancel, "cancel", "", "take the task of this `ID` back, wherever it is; all for all of them")
		fs.BoolVar(&v.drain, "drain", false, "let all workers finish what they have begun, and leave")
		fs.BoolVar(&v.clear, "clear", false, "take results and contents out of the store; who needs them sends or asks again")
		fs.BoolVar(&v.metrics, "metrics", false, "print counters as a monitor reads them (Prometheus text)")
		fs.BoolVar(&v.json, "json", false, "print the list as JSON")
		return v.run
	},
}

// tasksFlags are the flags of quoin tasks.
type tasksFlags struct {
	line                             lineFlags
	all, drain, clear, metrics, json bool
	retry, cancel                    string
}

func (f *tasksFlags) run(ctx context.Context, io streams, args []string) error {
	if len(args) > 0 || f.line.queue == "" || namesFolder(f.line.queue) {
		return usagef("the queue's address is missing", "as in: "+tasksExample)
	}
	line, err := f.line.connect(ctx, "quoin tasks", slog.New(newPlainLog(io)))
	if err != nil {
		return err
	}
	defer line.Close()
	ctx, stop := context.WithTimeout(ctx, 5*time.Minute)
	defer stop()
	switch {
	case f.metrics:
		return status.Metrics(ctx, io.out, line, nil)
	case f.drain:
		return status.Drain(line)
	case f.clear:
		return status.Clear(ctx, line)
	}
	list, err := status.Read(ctx, line, f.all)
	if err != nil {
		return err
	}
	if f.retry != "" || f.cancel != "" {
		retried, err := change(list, f.retry, task.SetAside, func(t *status.Task) error { return status.Retry(ctx, line, t.ID) })
		if err != nil {
			return err
		}
		cancelled, err := change(list, f.cancel, "", func(t *status.Task) error { return status.Cancel(ctx, line, t) })
		if err != nil {
			return err
		}
		io.tell("%s put into the queue again, %s cancelled", say.Count(retried, "task"), say.Count(cancelled, "task"))
		if list, err = status.Read(ctx, line, f.all); err != nil {
			return err
		}
	}
	return io.print(f.json, "tasks", list)
}

// change does something to the task of an id, or to all of a state.
func change(list *status.List, id string, only task.State, do func(*status.Task) error) (n int, err error) {
	if id == "" {
		return 0, nil
	}
	if id != "all" {
		t, err := list.Find(id)
		if err != nil {
			return 0, err
		}
		return 1, do(t)
	}
	for i := range list.Tasks {
		if t := &list.Tasks[i]; only == "" && t.State != task.Done || t.State == only {
			if err := do(t); err != nil {
				return n, err
			}
			n++
		}
	}
	return n, nil
}
