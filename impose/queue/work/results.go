package work

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"time"

	"quoin/impose/queue"
	"quoin/impose/queue/blob"
	"quoin/impose/queue/task"
)

// inline is up to how many bytes of a result travel in its message.
const inline = 32 << 10

// results are where a worker puts what came of its pieces.
type results struct {
	line  *queue.Line
	files *blob.Store
}

// put publishes an answer and waits until that is on the disk; a queue that was
// thrown away is made anew.
func (s results) put(ctx context.Context, subject string, data []byte) error {
	var err error
	for try := range 20 {
		within, stop := context.WithTimeout(ctx, 10*time.Second)
		_, err = s.line.JS.Publish(within, subject, data)
		stop()
		if err == nil || ctx.Err() != nil || queue.Full(err) {
			return err
		}
		if queue.Gone(err) {
			s.line.Ensure(ctx)
		}
		time.Sleep(time.Duration(try+1) * 50 * time.Millisecond)
	}
	return err
}

// pack puts a product's files into the store, one behind the other as one content.
func (s results) pack(ctx context.Context, r *product) error {
	if len(r.names) == 0 {
		return nil
	}
	root, err := os.OpenRoot(r.dir)
	if err != nil {
		return err
	}
	defer root.Close()
	whole := sha256.New()
	for _, name := range r.names {
		f, err := root.Open(name)
		if err != nil {
			return err
		}
		h := sha256.New()
		n, err := io.Copy(io.MultiWriter(h, whole), f)
		f.Close()
		if err != nil {
			return err
		}
		r.Files = append(r.Files, task.File{Name: name, SHA256: hex.EncodeToString(h.Sum(nil)), Bytes: n})
	}
	open := func() (io.ReadCloser, error) {
		p := &several{root: root, names: r.names}
		return p, nil
	}
	if r.Bytes() <= inline {
		p, _ := open()
		defer p.Close()
		var b bytes.Buffer
		_, err := b.ReadFrom(p)
		r.Inline = b.Bytes()
		return err
	}
	r.Pack = hex.EncodeToString(whole.Sum(nil))
	s.files.Forget(r.Pack) // it is made once more where the store has lost it
	return s.files.Send(ctx, r.Pack, open)
}

// several reads files of a folder one behind the other.
type several struct {
	root  *os.Root
	names []string
	file  *os.File
}

func (s *several) Read(b []byte) (int, error) {
	for {
		if s.file == nil {
			if len(s.names) == 0 {
				return 0, io.EOF
			}
			f, err := s.root.Open(s.names[0])
			if err != nil {
				return 0, fmt.Errorf("a result's file: %w", err)
			}
			s.file, s.names = f, s.names[1:]
		}
		n, err := s.file.Read(b)
		if err != io.EOF || n > 0 {
			if err == io.EOF {
				err = nil
			}
			return n, err
		}
		s.file.Close()
		s.file = nil
	}
}

// Close closes the file that is being read.
func (s *several) Close() error {
	if s.file == nil {
		return nil
	}
	return s.file.Close()
}
