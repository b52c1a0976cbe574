// Package blob sends contents through the queue's object store under their
// SHA-256, each once, and keeps those that a worker reads in a cache of bounded
// size.
package blob

import (
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"sync"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"quoin/impose/queue"
	"quoin/impose/queue/task"
)

// chunk is how much of a content is one message: each is flushed by itself.
const chunk = 1 << 20

// ErrMissing says that the store does not hold a content.
var ErrMissing = errors.New("the queue's store does not hold it")

// Store is the queue's object store.
type Store struct {
	line *queue.Line

	mu    sync.Mutex
	known map[string]bool // that were seen there
}

// New returns the store of a line.
func New(l *queue.Line) *Store { return &Store{line: l, known: map[string]bool{}} }

// Forget forgets what was seen in the store, as when it was thrown away; with
// sums only those.
func (s *Store) Forget(sums ...string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(sums) == 0 {
		clear(s.known)
	}
	for _, sum := range sums {
		delete(s.known, sum)
	}
}

func (s *Store) seen(sum string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.known[sum]
}

func (s *Store) see(sum string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.known[sum] = true
}

// Send puts a content where the store does not hold it. open is asked once it is
// needed; its bytes must be those of the sum.
func (s *Store) Send(ctx context.Context, sum string, open func() (io.ReadCloser, error)) error {
	if s.seen(sum) {
		return nil
	}
	objects, err := s.line.Objects(ctx)
	if err != nil {
		return queue.Words(err)
	}
	if _, err := objects.GetInfo(ctx, sum); err == nil {
		s.see(sum)
		return nil
	} else if !errors.Is(err, jetstream.ErrObjectNotFound) {
		return queue.Words(err)
	}
	r, err := open()
	if err != nil {
		return err
	}
	defer r.Close()
	moves := moving(ctx)
	defer moves.stop()
	info, err := objects.Put(moves, jetstream.ObjectMeta{Name: sum, Opts: &jetstream.ObjectMetaOptions{ChunkSize: chunk}}, moves.reader(r))
	if err != nil {
		return queue.Words(err)
	}
	if !digested(info, sum) {
		objects.Delete(ctx, sum)
		return fmt.Errorf("a file changed while it was sent: its SHA-256 is not %.12s... any more", sum)
	}
	s.see(sum)
	return nil
}

// digested reports whether the engine's client worked out, on the way, the sum that
// a content is called by. What it fetches it compares with that by itself.
func digested(info *jetstream.ObjectInfo, sum string) bool {
	digest, err := jetstream.DecodeObjectDigest(info.Digest)
	return err == nil && hex.EncodeToString(digest) == sum
}

// SendFile is Send of a file.
func (s *Store) SendFile(ctx context.Context, sum, path string) error {
	return s.Send(ctx, sum, func() (io.ReadCloser, error) { return os.Open(path) })
}

// Fetch writes a content, of no more than so many bytes, and proves its sum. The
// error wraps ErrMissing where the store does not hold it whole.
func (s *Store) Fetch(ctx context.Context, sum string, most int64, w io.Writer) error {
	if !task.IsSum(sum) {
		return fmt.Errorf("%.70q is no SHA-256", sum)
	}
	objects, err := s.line.Objects(ctx)
	if err != nil {
		if errors.Is(err, jetstream.ErrBucketNotFound) || errors.Is(err, jetstream.ErrStreamNotFound) {
			return fmt.Errorf("%.12s...: %w", sum, ErrMissing)
		}
		return queue.Words(err)
	}
	moves := moving(ctx)
	defer moves.stop()
	r, err := objects.Get(moves, sum)
	if err != nil {
		if errors.Is(err, jetstream.ErrObjectNotFound) || errors.Is(err, jetstream.ErrStreamNotFound) {
			return fmt.Errorf("%.12s...: %w", sum, ErrMissing)
		}
		return queue.Words(err)
	}
	defer r.Close()
	damaged := func() error {
		s.Forget(sum)
		objects.Delete(ctx, sum) // who sent it sends it again
		return fmt.Errorf("%.12s... is damaged: %w", sum, ErrMissing)
	}
	if info, err := r.Info(); err != nil || !digested(info, sum) {
		return damaged()
	}
	n, err := io.Copy(w, io.LimitReader(moves.reader(r), most+1))
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case n > most:
		return fmt.Errorf("%.12s... is larger than %d bytes", sum, most)
	case err != nil && !s.line.Conn.IsConnected():
		return queue.Words(nats.ErrDisconnected)
	case errors.Is(err, jetstream.ErrDigestMismatch):
		return damaged()
	case err != nil:
		s.Forget(sum)
		return fmt.Errorf("%.12s...: %w (%v)", sum, ErrMissing, err)
	}
	s.see(sum)
	return nil
}
