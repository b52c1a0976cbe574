package gang

import (
	"context"
	"math"
	"time"
)

// StepsPerSecond is the nominal rate at which StepsFor counts: about what one
// core of 2020 does.
const StepsPerSecond = 4_000_000

// StepsFor returns the steps that d allows one core at the nominal rate.
func StepsFor(d time.Duration) int64 {
	return int64(d.Seconds() * StepsPerSecond)
}

// meter counts the work of one search. Counted work, not a clock, decides when
// to stop, so that a plan can be repeated; the context is looked at now and
// then for a deadline.
type meter struct {
	ctx   context.Context
	limit int64
	used  int64
	look  int64 // when to look at ctx next
	ended bool  // ctx is done
}

func newMeter(ctx context.Context, limit int64) *meter {
	if limit <= 0 {
		limit = math.MaxInt64 / 2
	}
	return &meter{ctx: ctx, limit: limit}
}

// lookEvery is the number of steps between two looks at the context: a
// millisecond.
const lookEvery = StepsPerSecond / 1000

// spend counts n steps and reports whether work may go on.
func (m *meter) spend(n int64) bool {
	m.used += n
	if m.used >= m.look {
		m.look = m.used + lookEvery
		if !m.ended && m.ctx.Err() != nil {
			m.ended = true
		}
	}
	return !m.ended && m.used < m.limit
}

// part runs f with at most n steps of what is left and reports whether f kept
// within them, so that an exact search inside f is known to be complete.
func (m *meter) part(n int64, f func()) bool {
	limit := m.limit
	m.limit = min(limit, m.used+n)
	f()
	kept := !m.ended && m.used < m.limit
	m.limit = limit
	return kept
}

// done reports whether nothing is left to spend.
func (m *meter) done() bool { return m.ended || m.used >= m.limit }
