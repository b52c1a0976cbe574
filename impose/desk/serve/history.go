package serve

import (
	"sync"

	"quoin/impose/desk/folder"
)

// history remembers what jobs were, so that every change can be undone, and what
// each version said, so that two who change one job can be told what differs. It
// is kept while the desk runs.
type history struct {
	mu   sync.Mutex
	jobs map[string]*past
}

type past struct {
	now        []byte
	undo, redo []was
	texts      map[string][]byte // by version
	order      []string
}

// was is a text that was replaced, and by what.
type was struct {
	text  []byte
	label string
	key   string
}

func newHistory() *history { return &history{jobs: map[string]*past{}} }

// Limits of what is remembered of a job, and of how many.
const (
	mostUndo  = 200
	mostTexts = 100
)

// of returns a job's past, once it knows the text that the file holds.
func (h *history) of(path string, text []byte) *past {
	p := h.jobs[path]
	if p == nil {
		p = &past{texts: map[string][]byte{}}
		h.jobs[path] = p
	}
	if p.now != nil && string(p.now) != string(text) {
		p.undo, p.redo = append(p.undo, was{p.now, "a change made outside of the desk", ""}), nil
	}
	p.see(text)
	return p
}

func (p *past) see(text []byte) {
	p.now = text
	v := folder.Version(text)
	if _, ok := p.texts[v]; !ok {
		p.texts[v] = text
		if p.order = append(p.order, v); len(p.order) > mostTexts {
			delete(p.texts, p.order[0])
			p.order = p.order[1:]
		}
	}
	if len(p.undo) > mostUndo {
		p.undo = p.undo[len(p.undo)-mostUndo:]
	}
}

// look takes note of a text and says what could be undone and done again.
func (h *history) look(path string, text []byte) (undo, redo string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	p := h.of(path, text)
	if n := len(p.undo); n > 0 {
		undo = p.undo[n-1].label
	}
	if n := len(p.redo); n > 0 {
		redo = p.redo[n-1].label
	}
	return undo, redo
}

// text returns what a version said.
func (h *history) text(path, version string) ([]byte, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if p := h.jobs[path]; p != nil {
		t, ok := p.texts[version]
		return t, ok
	}
	return nil, false
}

// did notes that a text took another's place. Steps of one value, one after
// another, are undone together when joined is set.
func (h *history) did(path string, from, to []byte, label, key string, joined bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	p := h.of(path, from)
	if n := len(p.undo); !joined || key == "" || n == 0 || p.undo[n-1].key != key {
		p.undo = append(p.undo, was{from, label, key})
	} else {
		p.undo[n-1].label = label
	}
	p.redo = nil
	p.see(to)
}

// back returns the text before the last change, or forward that before the last
// undoing, with the change's label; false where there is none.
func (h *history) back(path string, text []byte, forward bool) (was, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	p := h.of(path, text)
	list := p.undo
	if forward {
		list = p.redo
	}
	if len(list) == 0 {
		return was{}, false
	}
	return list[len(list)-1], true
}

// went notes that back's text was taken.
func (h *history) went(path string, from []byte, to was, forward bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	p := h.of(path, from)
	if forward {
		p.redo = p.redo[:len(p.redo)-1]
		p.undo = append(p.undo, was{from, to.label, ""})
	} else {
		p.undo = p.undo[:len(p.undo)-1]
		p.redo = append(p.redo, was{from, to.label, ""})
	}
	p.see(to.text)
}
