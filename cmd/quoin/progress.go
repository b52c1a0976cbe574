package main

import (
	"fmt"
	"io"
	"sync"
)

// progress tells a person at a terminal how far things are, on one line that
// is written over. Anything else than a terminal sees nothing of it.
type progress struct {
	mu    sync.Mutex
	w     io.Writer
	shown int // characters on the line
}

func newProgress(w io.Writer) *progress {
	if !isTerminal(w) {
		return &progress{}
	}
	return &progress{w: w}
}

func (p *progress) tell(stage string, done, all int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.w == nil {
		return
	}
	text := fmt.Sprintf("%s: %d of %d", stage, done, all)
	fmt.Fprintf(p.w, "\r%-*s", p.shown, text)
	p.shown = len(text)
}

// end wipes the line.
func (p *progress) end() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.shown > 0 {
		fmt.Fprintf(p.w, "\r%*s\r", p.shown, "")
		p.shown = 0
	}
}
