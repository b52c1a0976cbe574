package main

import (
	"encoding/json"
	"fmt"
	"io"
	"sync"
	"time"

	"quoin/impose/night"
	"quoin/impose/night/report"
)

// live says how far a night is as lines of JSON, for programs that show it.
type live struct {
	mu   sync.Mutex
	w    io.Writer
	last time.Time
}

// liveLine is one of them: how far a stage is, or how good the plan.
type liveLine struct {
	Stage string `json:"stage,omitempty"`
	Done  int    `json:"done,omitempty"`
	Of    int    `json:"of,omitempty"`
	*night.Standing
}

// often is how often a standing is said: faster nobody reads it.
const often = 50 * time.Millisecond

func (l *live) tell(stage string, done, all int) { l.say(liveLine{Stage: stage, Done: done, Of: all}) }

func (l *live) stands(s night.Standing) {
	if l.mu.Lock(); time.Since(l.last) < often && s.Proved < s.Groups {
		l.mu.Unlock()
		return
	}
	l.last = time.Now()
	l.mu.Unlock()
	l.say(liveLine{Standing: &s})
}

func (l *live) say(line liveLine) {
	data, err := json.Marshal(line)
	if err != nil {
		return // of numbers and words only
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	fmt.Fprintf(l.w, "%s\n", data)
}

// stands tells a person at a terminal how good the plan is.
func (p *progress) stands(s night.Standing) { p.step(report.Standing(s)) }
