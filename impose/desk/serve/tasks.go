package serve

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"sync"
	"time"

	"quoin/impose/night"
	"quoin/impose/say"
)

// Task is long work that runs in a process of its own.
type Task struct {
	ID    string   `json:"id"`
	Job   string   `json:"job,omitempty"`
	What  string   `json:"what"`
	State string   `json:"state"` // running, done, failed or stopped
	Step  string   `json:"step,omitempty"`
	Steps int      `json:"steps"` // done so far
	Of    int      `json:"of,omitempty"`
	Error string   `json:"error,omitempty"`
	Hint  string   `json:"hint,omitempty"`
	Files []File   `json:"files,omitempty"`
	Words []string `json:"words,omitempty"` // what was warned of, and what was left out
	// Standing is how good the plan of a night is so far.
	Standing *night.Standing `json:"standing,omitempty"`
	Seconds  float64         `json:"seconds"`
	Command  []string        `json:"command"`
}

// tasks are the work that is under way and what has ended recently.
type tasks struct {
	mu   sync.Mutex
	next int
	all  map[string]*task
	wait sync.WaitGroup
}

type task struct {
	Task
	stop  context.CancelFunc
	begun time.Time
}

func newTasks() *tasks { return &tasks{all: map[string]*task{}} }

// Limits of tasks.
const (
	mostTasks = 4 // at a time
	keptTasks = 100
)

// work is what a task does. Step says what it is at; it gives its files and what
// was warned of.
type work func(ctx context.Context, step func(string)) (files []File, words []string, err error)

// begin notes a task. Tell is called with it whenever it is further on; run does
// the work and gives its files.
func (t *tasks) begin(ctx context.Context, one Task, tell func(Task), run work) (Task, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	atOnce := 0
	for _, o := range t.all {
		if o.State == "running" {
			atOnce++
			if one.Job != "" && o.Job == one.Job && o.What == one.What {
				return o.Task, refuse(http.StatusConflict, running, "this is being done already")
			}
		}
	}
	if atOnce >= mostTasks {
		return Task{}, refuse(http.StatusServiceUnavailable, busy, "enough work is under way; wait for it or stop some")
	}
	t.next++
	ctx, stop := context.WithCancel(ctx)
	one.ID, one.State = strconv.Itoa(t.next), "running"
	k := &task{one, stop, time.Now()}
	t.all[one.ID] = k
	delete(t.all, strconv.Itoa(t.next-keptTasks))
	change := func(f func()) {
		t.mu.Lock()
		f()
		k.Seconds = time.Since(k.begun).Seconds()
		copied := k.Task
		t.mu.Unlock()
		tell(copied)
	}
	t.wait.Go(func() {
		defer stop()
		files, words, err := run(ctx, func(line string) { change(func() { k.further(line) }) })
		change(func() {
			switch {
			case ctx.Err() != nil:
				k.State, k.Error = "stopped", "stopped; nothing half-made is left"
			case err != nil:
				k.State, k.Error = "failed", err.Error()
				k.Hint, k.Words = say.Hint(err), words
			default:
				k.State, k.Files, k.Words, k.Step = "done", files, words, ""
			}
		})
	})
	return k.Task, nil
}

// further notes what a command said: how far a stage of a night is, how good its
// plan, or else what it is at.
func (t *Task) further(line string) {
	var live struct {
		Stage    string
		Done, Of int
		*night.Standing
	}
	switch {
	case !strings.HasPrefix(line, "{") || json.Unmarshal([]byte(line), &live) != nil:
		t.Step = line
		t.Steps++
	case live.Standing != nil:
		t.Standing = live.Standing
	default:
		t.Step, t.Steps, t.Of = live.Stage, live.Done, live.Of
	}
}

func (t *tasks) get(id string) (Task, bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	k, ok := t.all[id]
	if !ok {
		return Task{}, false
	}
	return k.Task, true
}

// stopOne ends a task; false where there is none.
func (t *tasks) stopOne(id string) bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	k, ok := t.all[id]
	if ok {
		k.stop()
	}
	return ok
}

// of returns the tasks of a job, the latest last.
func (t *tasks) of(job string) (list []Task) {
	t.mu.Lock()
	defer t.mu.Unlock()
	for n := max(1, t.next-keptTasks); n <= t.next; n++ {
		if k, ok := t.all[strconv.Itoa(n)]; ok && k.Job == job {
			list = append(list, k.Task)
		}
	}
	return list
}

// close waits until all has ended; whoever calls it has ended their context.
func (t *tasks) close() { t.wait.Wait() }

// grace is how long a command has to end by itself once it is asked to.
const grace = 5 * time.Second

// command runs a command of quoin, with each line that it says as a step, and
// gives what it warned of. One that ends with the code partly is done, and why
// not whole is its last word.
func command(ctx context.Context, cmd *exec.Cmd, partly int, step func(string)) ([]string, error) {
	own, end := context.WithCancel(context.Background())
	defer end()
	lines := &liner{line: step}
	cmd.Stderr = lines
	if cmd.Stdout == nil {
		cmd.Stdout = io.Discard
	}
	quiet(cmd)
	if err := cmd.Start(); err != nil {
		return nil, err
	}
	go func() {
		select {
		case <-own.Done():
			return
		case <-ctx.Done():
		}
		interrupt(cmd.Process)
		select {
		case <-own.Done():
		case <-time.After(grace):
			cmd.Process.Kill()
		}
	}()
	err := cmd.Wait()
	exit, ended := errors.AsType[*exec.ExitError](err)
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case ended && partly > 0 && exit.ExitCode() == partly:
		return append(lines.error, lines.warned...), nil
	case err != nil:
		err = lines.failure(err)
	}
	return lines.warned, err
}

// run runs a command of quoin in the folder; out takes what it prints, nil for
// nobody.
func (d *desk) run(ctx context.Context, args []string, out io.Writer, step func(string)) ([]string, error) {
	cmd := d.Program(context.WithoutCancel(ctx), args...)
	cmd.Dir, cmd.Stdout = d.Folder.Path, out
	return command(ctx, cmd, d.Partly, step)
}

// liner hands lines on and keeps what errors and hints say.
type liner struct {
	line                func(string)
	rest                string
	error, hint, warned []string
}

func (l *liner) Write(b []byte) (int, error) {
	l.rest += string(b)
	for {
		line, rest, ok := strings.Cut(l.rest, "\n")
		if !ok {
			return len(b), nil
		}
		l.rest = rest
		switch {
		case strings.HasPrefix(line, "error: "):
			l.error = append(l.error, strings.TrimPrefix(line, "error: "))
		case strings.HasPrefix(line, "hint: "):
			l.hint = append(l.hint, strings.TrimPrefix(line, "hint: "))
		case strings.HasPrefix(line, "warning: "):
			l.warned = append(l.warned, strings.TrimPrefix(line, "warning: "))
		case strings.HasPrefix(line, "note: "):
		default:
			l.line(line)
		}
	}
}

func (l *liner) failure(err error) error {
	if len(l.error) == 0 {
		return err
	}
	return say.Refuse(say.Failed, strings.Join(l.hint, "; "), "%s", strings.Join(l.error, "; "))
}

// interrupt asks a process to end, which it then does without leaving anything
// half-made.
func interrupt(p *os.Process) {
	if p.Signal(os.Interrupt) != nil { // Windows knows none
		p.Kill()
	}
}
