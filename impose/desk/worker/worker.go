// Package worker draws artworks in a process of its own, which has little memory
// and little time and may die at any moment: whoever asked is told so and goes
// on. It draws pages and plates as PNG and compares artworks.
package worker

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os/exec"
	"sync"
	"time"

	"quoin/impose/say"
)

// Ask is what is to be drawn.
type Ask struct {
	Do string `json:"do"` // page, white, file, plates, plate, compare or alike

	DPI      float64 `json:"dpi,omitempty"`
	File     string  `json:"file,omitempty"` // of plates and compare; of page, the PDF follows, of alike, the packed job
	Page     int     `json:"page,omitempty"` // first is 1
	Password string  `json:"password,omitempty"`
	Bleed    int64   `json:"bleed,omitempty"` // nanometres of bleed beyond the trim that plates show
	Ink      int     `json:"ink,omitempty"`
	// FromCut and InkLimit are the job's rules for what is found on plates: the least
	// distance of text, bars and lines from the cut in nanometres, negative for none
	// and 0 for the usual one, and the most that inks add up to in per cent, 0 for any.
	FromCut  int64   `json:"from_cut,omitempty"`
	InkLimit float64 `json:"ink_limit,omitempty"`

	OtherFile string `json:"other_file,omitempty"`
	OtherPage int    `json:"other_page,omitempty"`

	Bytes int `json:"bytes"` // that follow this line
}

// head precedes what was drawn.
type head struct {
	Error string `json:"error,omitempty"`
	Bytes int    `json:"bytes"`
}

// Limits of one thing to draw.
const (
	patience  = 60 * time.Second
	idle      = 45 * time.Second // after which the process gives its memory back
	mostBytes = 256 << 20
)

// Pool has things drawn, one at a time, by a process that it starts when it is
// needed. It is safe for concurrent use.
type Pool struct {
	Command func() *exec.Cmd // starts a process that calls Serve

	turn sync.Mutex
	proc *process
	last time.Time
}

type process struct {
	cmd *exec.Cmd
	in  io.WriteCloser
	out *bufio.Reader
}

// Draw asks for a drawing. When the process dies or takes too long, it is ended
// and the error says so; the next asking starts another.
func (p *Pool) Draw(ctx context.Context, a Ask, body []byte) ([]byte, error) {
	p.turn.Lock()
	defer p.turn.Unlock()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if p.proc == nil {
		proc, err := start(p.Command())
		if err != nil {
			return nil, err
		}
		p.proc = proc
	}
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	proc := p.proc
	stop := context.AfterFunc(ctx, func() { proc.cmd.Process.Kill() })
	data, refused, err := proc.ask(a, body)
	if !stop() && err == nil {
		err = ctx.Err()
	}
	if err != nil {
		proc.end()
		p.proc = nil
		if ctx.Err() == context.DeadlineExceeded {
			return nil, say.Refuse(say.Artwork, "it may still be imposed; look at it in another program", "drawing took longer than %s and was stopped", patience)
		}
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, say.Refuse(say.Artwork, "it may still be imposed; look at it in another program", "the artwork could not be drawn: the drawing process ended (%v)", err)
	}
	p.last = time.Now()
	time.AfterFunc(idle+time.Second, p.rest)
	if refused != "" {
		return nil, say.Refuse(say.Artwork, "", "%s", refused)
	}
	return data, nil
}

// rest ends a process that nobody has needed for a while.
func (p *Pool) rest() {
	if !p.turn.TryLock() {
		return
	}
	defer p.turn.Unlock()
	if p.proc != nil && time.Since(p.last) >= idle {
		p.proc.end()
		p.proc = nil
	}
}

// Close ends the process.
func (p *Pool) Close() {
	p.turn.Lock()
	defer p.turn.Unlock()
	if p.proc != nil {
		p.proc.end()
		p.proc = nil
	}
}

func start(cmd *exec.Cmd) (*process, error) {
	in, err := cmd.StdinPipe()
	if err != nil {
		return nil, err
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, fmt.Errorf("starting the drawing process: %w", err)
	}
	return &process{cmd, in, bufio.NewReader(out)}, nil
}

func (p *process) end() {
	p.in.Close()
	p.cmd.Process.Kill()
	p.cmd.Wait()
}

// ask sends a request and reads the answer. Refused is what the process said
// against it.
func (p *process) ask(a Ask, body []byte) (data []byte, refused string, err error) {
	a.Bytes = len(body)
	line, err := json.Marshal(a)
	if err != nil {
		return nil, "", err
	}
	if _, err := p.in.Write(append(line, '\n')); err != nil {
		return nil, "", err
	}
	if _, err := p.in.Write(body); err != nil {
		return nil, "", err
	}
	if line, err = p.out.ReadBytes('\n'); err != nil {
		return nil, "", err
	}
	var h head
	if err := json.Unmarshal(line, &h); err != nil {
		return nil, "", err
	}
	if h.Error != "" {
		return nil, h.Error, nil
	}
	if h.Bytes < 0 || h.Bytes > mostBytes {
		return nil, "", fmt.Errorf("an answer of %d bytes", h.Bytes)
	}
	data = make([]byte, h.Bytes)
	_, err = io.ReadFull(p.out, data)
	return data, "", err
}
