package work

import (
	"maps"
	"slices"
	"sync"
	"time"

	"github.com/nats-io/nats.go/jetstream"

	"quoin/impose/queue"
)

// held are the tasks that were taken out of the queue and are not answered yet.
type held struct {
	mu   sync.Mutex
	list map[jetstream.Msg]bool
}

func (h *held) add(list []jetstream.Msg) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, m := range list {
		h.list[m] = true
	}
}

// letGo ends that a task is said to be done.
func (h *held) letGo(m jetstream.Msg) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.list, m)
}

// beat says of the tasks that they are being done.
func (h *held) beat(end chan struct{}) {
	t := time.NewTicker(queue.AckWait() / 3)
	defer t.Stop()
	for {
		select {
		case <-end:
			return
		case <-t.C:
			h.mu.Lock()
			list := slices.Collect(maps.Keys(h.list))
			h.mu.Unlock()
			for _, m := range list {
				m.InProgress()
			}
		}
	}
}
