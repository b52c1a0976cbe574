package work

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"sync"
	"time"

	"quoin/impose/queue/task"
)

// Process does pieces in a process of its own, so that one that runs away, takes
// too much memory or crashes takes nothing with it.
type Process struct {
	Command []string // program and arguments; it runs Serve
	Memory  int64    // most bytes; 0: no limit
	Cores   int      // that it may use; 0: all

	cmd   *exec.Cmd
	in    io.WriteCloser
	lines chan []byte
	last  *tail
}

// order is what a process is asked.
type order struct {
	Task *task.Task        `json:"task"`
	Lies map[string]string `json:"lies"`
	Dir  string            `json:"dir"`
	Last bool              `json:"last,omitempty"` // see LastTry
}

// reply is what it answers.
type reply struct {
	Answer *Answer `json:"answer,omitempty"`
	Failed string  `json:"failed,omitempty"`
}

// Do has a piece done. A process that the context ends, or that outgrows its
// memory, is killed.
func (p *Process) Do(ctx context.Context, t *task.Task, lies map[string]string, dir string) (*Answer, error) {
	if p.cmd == nil {
		if err := p.start(); err != nil {
			return nil, err
		}
	}
	data, err := json.Marshal(order{t, lies, dir, LastTry(ctx)})
	if err != nil {
		return nil, err
	}
	if _, err := p.in.Write(append(data, '\n')); err != nil {
		return nil, p.died("it does not listen")
	}
	look := time.NewTicker(100 * time.Millisecond)
	defer look.Stop()
	for {
		select {
		case line, ok := <-p.lines:
			if !ok {
				return nil, p.died("")
			}
			var r reply
			if err := json.Unmarshal(line, &r); err != nil {
				return nil, p.died("it answers nonsense")
			}
			if r.Failed != "" {
				p.Close() // what failed may have left it in disorder
				return nil, errors.New(r.Failed)
			}
			if r.Answer == nil {
				return nil, p.died("it answers nothing")
			}
			return r.Answer, nil
		case <-ctx.Done():
			p.Close()
			return nil, context.Cause(ctx)
		case <-look.C:
			if used := resident(p.cmd.Process.Pid); p.Memory > 0 && used > p.Memory {
				p.Close()
				return nil, fmt.Errorf("it took %d MB of memory, more than the %d MB that a piece may", used>>20, p.Memory>>20)
			}
		}
	}
}

func (p *Process) start() error {
	cmd := exec.Command(p.Command[0], p.Command[1:]...)
	cmd.Env = os.Environ()
	if p.Memory > 0 {
		cmd.Env = append(cmd.Env, fmt.Sprintf("GOMEMLIMIT=%d", p.Memory/10*9))
	}
	if p.Cores > 0 {
		cmd.Env = append(cmd.Env, fmt.Sprintf("GOMAXPROCS=%d", p.Cores))
	}
	in, err := cmd.StdinPipe()
	if err != nil {
		return err
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		return err
	}
	p.last = &tail{}
	cmd.Stderr = p.last
	if err := cmd.Start(); err != nil {
		return fmt.Errorf("a process for the pieces: %w", err)
	}
	lines := make(chan []byte, 1)
	p.cmd, p.in, p.lines = cmd, in, lines
	go func() {
		defer close(lines)
		r := bufio.NewReaderSize(out, 1<<16)
		for {
			line, err := r.ReadBytes('\n')
			if err != nil {
				return
			}
			lines <- line
		}
	}()
	return nil
}

// died ends a process that is of no use any more, and says how it ended.
func (p *Process) died(how string) error {
	p.in.Close()
	p.cmd.Process.Kill()
	err := p.cmd.Wait()
	said := p.last.String()
	p.cmd = nil
	text := "the process that did it ended"
	if how != "" {
		text += ": " + how
	}
	if err != nil {
		text += ": " + err.Error()
	}
	if said != "" {
		text += ": " + said
	}
	return errors.New(text)
}

// Close ends the process.
func (p *Process) Close() {
	if p.cmd == nil {
		return
	}
	p.in.Close()
	p.cmd.Process.Kill()
	for range p.lines { // so that its reader ends
	}
	p.cmd.Wait()
	p.cmd = nil
}

// tail keeps the beginning of what a process said: of a panic, its reason.
type tail struct {
	mu   sync.Mutex
	text []byte
}

// Write keeps up to 600 bytes.
func (t *tail) Write(b []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.text = append(t.text, b[:min(len(b), max(0, 600-len(t.text)))]...)
	return len(b), nil
}

// String returns the first line or two.
func (t *tail) String() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return strings.Join(strings.Fields(string(t.text)), " ")
}

// lastTry is the key of what LastTry reads.
type lastTry struct{}

// WithLast returns a context that LastTry reads.
func WithLast(ctx context.Context, last bool) context.Context {
	return context.WithValue(ctx, lastTry{}, last)
}

// LastTry reports whether a piece is set aside if it fails once more.
func LastTry(ctx context.Context) bool {
	last, _ := ctx.Value(lastTry{}).(bool)
	return last
}

// Do does one piece in this process.
type Do func(ctx context.Context, t *task.Task, lies map[string]string, dir string) (*Answer, error)

// Serve answers what a Process asks until in ends, and then ends this process
// whatever it is doing: its worker has died.
func Serve(ctx context.Context, in io.Reader, out io.Writer, do Do) error {
	orders := make(chan order)
	go func() {
		defer close(orders)
		r := bufio.NewReaderSize(in, 1<<16)
		for {
			line, err := r.ReadBytes('\n')
			if err != nil {
				os.Exit(0)
			}
			var o order
			if json.Unmarshal(line, &o) != nil || o.Task == nil {
				return
			}
			orders <- o
		}
	}()
	for o := range orders {
		var r reply
		a, err := do(WithLast(ctx, o.Last), o.Task, o.Lies, o.Dir)
		if r.Answer = a; err != nil {
			r.Answer, r.Failed = nil, err.Error()
		}
		data, err := json.Marshal(r)
		if err != nil {
			return err
		}
		if _, err := out.Write(append(data, '\n')); err != nil {
			return err
		}
	}
	return errors.New("a piece can't be read")
}
