package blob

import (
	"context"
	"io"
	"time"

	"github.com/nats-io/nats.go"
)

// still is how long nothing of a content may pass before it is given up; long
// bounds all of it. The engine's client would give any content five seconds where
// the context has no end of its own, however large it is.
const (
	still = 20 * time.Second
	long  = 24 * time.Hour
)

// moves is a context that ends once nothing has been read for too long.
type moves struct {
	context.Context
	timer *time.Timer
	stop  func()
}

func moving(ctx context.Context) *moves {
	ctx, cancel := context.WithTimeout(ctx, long)
	within, end := context.WithCancelCause(ctx)
	m := &moves{Context: within, timer: time.AfterFunc(still, func() { end(nats.ErrTimeout) })}
	m.stop = func() { m.timer.Stop(); end(nil); cancel() }
	return m
}

// Err is a timeout where nothing moved, as the engine says it.
func (m *moves) Err() error {
	err := m.Context.Err()
	if err != nil && context.Cause(m.Context) == nats.ErrTimeout {
		return nats.ErrTimeout
	}
	return err
}

// reader notes what is read of r as a move.
func (m *moves) reader(r io.Reader) io.Reader { return &moved{r, m.timer} }

type moved struct {
	io.Reader
	timer *time.Timer
}

func (r *moved) Read(b []byte) (int, error) {
	n, err := r.Reader.Read(b)
	if n > 0 || err == io.EOF {
		r.timer.Reset(still)
	}
	return n, err
}
