package main

import (
	"context"
	"errors"
	"log/slog"
	"path/filepath"
	"runtime"
	"sync"
	"time"

	"quoin/impose/queue"
	"quoin/impose/queue/broker"
)

// queueHere is a queue in this process, over a folder: one broker and one worker,
// however many commands hand their work to it. Each of the files that a watcher
// does at a time is such a command.
type queueHere struct {
	folder string
	broker *broker.Broker
	end    func() // of the worker
	users  int
}

// queuesHere are the queues of this process. One mutex for all is enough: a
// process is given one folder.
var queuesHere = queues{byFolder: map[string]*queueHere{}}

type queues struct {
	mu       sync.Mutex
	byFolder map[string]*queueHere
}

// open returns the queue over a folder, begun with its first user. Each leaves it.
func (q *queues) open(ctx context.Context, folder string, log *slog.Logger) (*queueHere, error) {
	path, err := filepath.Abs(folder)
	if err != nil {
		return nil, err
	}
	q.mu.Lock()
	defer q.mu.Unlock()
	h := q.byFolder[path]
	if h == nil {
		if h, err = beginHere(ctx, path, log); err != nil {
			return nil, err
		}
		q.byFolder[path] = h
	}
	h.users++
	return h, nil
}

// leave ends the queue with its last user. What it holds stays in the folder.
func (q *queues) leave(h *queueHere) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if h.users--; h.users == 0 {
		delete(q.byFolder, h.folder)
		h.end()
		h.broker.Close()
	}
}

// beginHere begins a broker and its worker.
func beginHere(ctx context.Context, folder string, log *slog.Logger) (*queueHere, error) {
	b, err := startHere(ctx, folder, log)
	if err != nil {
		return nil, err
	}
	line, err := queue.Inside(ctx, b, "")
	if err != nil {
		b.Close()
		return nil, err
	}
	// The first command's end is not the worker's, which may have another's piece.
	within, stop := context.WithCancel(context.WithoutCancel(ctx))
	ended, err := beginWork(within, line, workOptions{slots: runtime.GOMAXPROCS(0), time: time.Hour, cacheBytes: 4 << 30, log: log})
	if err != nil {
		stop()
		line.Close()
		b.Close()
		return nil, err
	}
	return &queueHere{folder: folder, broker: b, end: func() { stop(); <-ended; line.Close() }}, nil
}

// mostHeld is how long a folder may be another process's before this gives it up.
const mostHeld = 10 * time.Minute

// startHere starts the broker; where another process has the folder it waits for it,
// and says so once.
func startHere(ctx context.Context, folder string, log *slog.Logger) (*broker.Broker, error) {
	for began, told := time.Now(), false; ; {
		b, err := broker.Start(broker.Options{Store: folder})
		waited := time.Since(began)
		if !errors.Is(err, broker.ErrHeld) || waited > mostHeld {
			return b, err
		}
		if !told && waited > time.Second {
			told = true
			log.Warn("waiting for the queue's folder, which another quoin has open; where quoin queue has it, give the address that it printed", "folder", folder)
		}
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(50 * time.Millisecond):
		}
	}
}

// queueLogKey is the key of what queueLog reads.
type queueLogKey struct{}

// withQueueLog names the log of a queue in this process, where that outlives the
// command that begins it.
func withQueueLog(ctx context.Context, log *slog.Logger) context.Context {
	return context.WithValue(ctx, queueLogKey{}, log)
}

// queueLog returns that log, or the command's own.
func queueLog(ctx context.Context, own *slog.Logger) *slog.Logger {
	if log, ok := ctx.Value(queueLogKey{}).(*slog.Logger); ok {
		return log
	}
	return own
}
