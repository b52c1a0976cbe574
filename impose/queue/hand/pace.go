package hand

import (
	"context"
	"fmt"
	"sync"
	"time"

	"quoin/impose/queue"
	"quoin/impose/say"
)

// pace is how quickly pieces come back.
type pace struct {
	mu          sync.Mutex
	began       time.Time // of the first piece
	asked, done int
}

func (p *pace) begin() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.asked == 0 {
		p.began = time.Now()
	}
	p.asked++
}

func (p *pace) end() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done++
}

// left returns the pieces that have not come, of so many in all, and how long they
// take at the pace so far; known is false before there is one.
func (p *pace) left(all int, now time.Time) (left int, takes time.Duration, known bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	left = max(all, p.asked) - p.done
	if p.done == 0 {
		return left, 0, false
	}
	return left, time.Duration(float64(now.Sub(p.began)) / float64(p.done) * float64(left)), true
}

// Early says, once, that work will not be ready by a time, and what holds it back;
// it looks again and again until ctx ends. all is how many pieces there are.
func (h *Hander) Early(ctx context.Context, by time.Time, all func() int, tell func(string)) {
	every := max(min(time.Until(by)/50, 30*time.Second), 200*time.Millisecond)
	t := time.NewTicker(every)
	defer t.Stop()
	started := time.Now()
	for {
		select {
		case <-ctx.Done():
			return
		case <-t.C:
		}
		now := time.Now()
		left, takes, known := h.pace.left(all(), now)
		switch {
		case left <= 0 && known:
			continue
		case !known && now.Sub(started) < max(10*every, 2*time.Second) && now.Before(by):
			continue
		case known && now.Add(takes).Before(by):
			continue
		}
		text := fmt.Sprintf("this will not be ready by %s: ", by.Format("15:04 on 2 January"))
		if known {
			text += fmt.Sprintf("%s left, at the present pace until %s", say.Count(left, "piece"), now.Add(takes).Format("15:04 on 2 January"))
		} else {
			text += fmt.Sprintf("none of %s has come", say.Count(left, "piece"))
		}
		tell(text + "; " + h.HeldBack(ctx))
		return
	}
}

// HeldBack says what holds work back just now.
func (h *Hander) HeldBack(ctx context.Context) string {
	lanes, err := queue.Lanes(ctx, h.line)
	if err != nil {
		return "the queue does not answer"
	}
	var busy, before, others int
	for _, l := range lanes {
		if l.Engine == h.Engine {
			busy += l.Busy
			if l.Priority > h.Priority {
				before += int(l.Waiting)
			} else if l.User != h.User && l.Priority == h.Priority {
				others += int(l.Waiting)
			}
		}
	}
	switch {
	case busy == 0:
		return "no worker of this version is at work: start some with quoin work"
	case before > 0:
		return fmt.Sprintf("%s of a higher priority go first, and %s are being done", say.Count(before, "piece"), say.Number(busy))
	case others > 0:
		return fmt.Sprintf("workers are shared with %s of others; %s are being done", say.Count(others, "piece"), say.Number(busy))
	}
	return fmt.Sprintf("%s at work at a time; more workers would help", say.CountOf(busy, "piece is", "pieces are"))
}
