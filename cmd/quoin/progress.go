package main

import (
	"fmt"
	"io"
	"strings"
	"sync"
	"time"
)

// patience is how long work may take before a person is told how far it is.
const patience = time.Second

// progress tells a person at a terminal what is being done and how far it is,
// on one line that is written over. Nothing else than a terminal sees anything
// of it, and no quick work shows it.
type progress struct {
	mu    sync.Mutex
	w     io.Writer // nil: nobody looks
	timer *time.Timer
	text  string
	due   bool // the work takes long enough
	shown int  // characters on the line
}

// newProgress begins to wait. With --verbose each step has a line of its own.
func (s streams) newProgress() *progress {
	if s.quiet || s.verbose || !isTerminal(s.err) {
		return &progress{}
	}
	return watch(s.err, patience)
}

// saying tells of each step where it is wanted: on the progress line, or as a
// line of its own for --verbose.
func (s streams) saying(p *progress) func(string) {
	return func(text string) {
		p.step(text)
		s.step(text)
	}
}

func watch(w io.Writer, patience time.Duration) *progress {
	p := &progress{w: w}
	p.timer = time.AfterFunc(patience, func() {
		p.mu.Lock()
		defer p.mu.Unlock()
		p.due = p.w != nil
		p.show()
	})
	return p
}

// tell says how many of something are done.
func (p *progress) tell(stage string, done, all int) {
	p.step(fmt.Sprintf("%s: %d of %d", stage, done, all))
}

// step says what is being done.
func (p *progress) step(text string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.text = text
	p.show()
}

func (p *progress) show() {
	if !p.due || p.text == "" {
		return
	}
	fmt.Fprintf(p.w, "\r%-*s", p.shown, p.text)
	p.shown = max(p.shown, len([]rune(p.text)))
}

// end wipes the line for good.
func (p *progress) end() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.timer != nil {
		p.timer.Stop()
	}
	if p.shown > 0 {
		fmt.Fprintf(p.w, "\r%s\r", strings.Repeat(" ", p.shown))
	}
	p.w, p.due, p.shown = nil, false, 0
}
