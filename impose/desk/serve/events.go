package serve

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"slices"
	"sync"
	"time"
)

// eventRoom tells pages what changes under them.
type eventRoom struct{ *desk }

// event is what pages are told of.
type event struct {
	Kind    string `json:"kind"` // job: its file has changed; folder: files have; task: work is further on
	Job     string `json:"job,omitempty"`
	Version string `json:"version,omitempty"`
	By      string `json:"by,omitempty"` // the page that made the change
	Task    *Task  `json:"task,omitempty"`
}

// hub tells all open pages.
type hub struct {
	mu     sync.Mutex
	ears   map[chan event]string // with the job that the page shows
	closed bool
}

func newHub() *hub { return &hub{ears: map[chan event]string{}} }

// mostEars bounds open pages.
const mostEars = 100

func (h *hub) listen(job string) (chan event, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.closed || len(h.ears) >= mostEars {
		return nil, false
	}
	c := make(chan event, 64)
	h.ears[c] = job
	return c, true
}

func (h *hub) leave(c chan event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.ears, c)
}

// tell never waits: a page that doesn't listen asks again when it does.
func (h *hub) tell(e event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for c := range h.ears {
		select {
		case c <- e:
		default:
		}
	}
}

// jobs returns the jobs that pages show.
func (h *hub) jobs() (list []string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, j := range h.ears {
		if j != "" && !slices.Contains(list, j) {
			list = append(list, j)
		}
	}
	return list
}

func (h *hub) close() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.closed = true
}

// toldOf tells pages how far a task is.
func (h *hub) toldOf(t Task) { h.tell(event{Kind: "task", Job: t.Job, Task: &t}) }

// get streams events (WHATWG HTML, Server-sent events).
func (s *eventRoom) get(w http.ResponseWriter, r *http.Request) (*page, error) {
	job := r.URL.Query().Get("job")
	c, ok := s.hub.listen(job)
	if !ok {
		return nil, refuse(http.StatusServiceUnavailable, busy, "too many pages are open")
	}
	defer s.hub.leave(c)
	w.Header().Set("Content-Type", "text/event-stream")
	out := http.NewResponseController(w)
	fmt.Fprint(w, "retry: 1000\n\n")
	if text, err := s.text(job); err == nil { // a page that comes into sight again may have missed something
		writeEvent(w, event{Kind: "job", Job: job, Version: version(text)})
	}
	out.Flush()
	beat := time.NewTicker(20 * time.Second)
	defer beat.Stop()
	for {
		select {
		case e := <-c:
			if writeEvent(w, e) != nil {
				return nil, nil
			}
		case <-beat.C:
			if _, err := fmt.Fprint(w, ": still here\n\n"); err != nil {
				return nil, nil
			}
		case <-r.Context().Done():
			return nil, nil
		case <-s.ctx.Done():
			return nil, nil
		}
		if out.Flush() != nil {
			return nil, nil
		}
	}
}

func writeEvent(w io.Writer, e event) error {
	data, err := json.Marshal(e)
	if err == nil {
		_, err = fmt.Fprintf(w, "data: %s\n\n", data)
	}
	return err
}

// watch looks for changes that others make in the folder while pages are open,
// until the desk is closed.
func (s *eventRoom) watch() {
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	seen := map[string]string{}
	for {
		select {
		case <-s.ctx.Done():
			return
		case <-tick.C:
		}
		jobs := s.hub.jobs()
		for _, job := range jobs {
			text, err := s.text(job)
			if err != nil {
				continue
			}
			v := version(text)
			if was, ok := seen[job]; ok && was != v {
				s.hub.tell(event{Kind: "job", Job: job, Version: v})
			}
			seen[job] = v
		}
		for job := range seen {
			if !slices.Contains(jobs, job) {
				delete(seen, job)
			}
		}
	}
}
