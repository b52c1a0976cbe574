package hand

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"slices"

	"quoin/impose/queue/blob"
	"quoin/impose/queue/task"
	"quoin/impose/wholefile"
)

// Got is what came of a task: its files, each proved by its sum. Close it.
type Got struct {
	*task.Result
	from   io.ReaderAt
	file   *wholefile.Scratch
	starts []int64
}

// fetch brings a result's files.
func (h *Hander) fetch(ctx context.Context, r *task.Result) (*Got, error) {
	g := &Got{Result: r}
	at := int64(0)
	for _, f := range r.Files {
		g.starts = append(g.starts, at)
		at += f.Bytes
	}
	if r.Pack == "" {
		g.from = bytes.NewReader(r.Inline)
		return g, g.prove()
	}
	f, err := wholefile.NewScratch(".quoin-result-*")
	if err != nil {
		return nil, err
	}
	g.file, g.from = f, f
	if err := h.store.Fetch(ctx, r.Pack, at, f); err != nil {
		g.Close()
		return nil, err
	}
	if err := g.prove(); err != nil {
		g.Close()
		return nil, err
	}
	return g, nil
}

// prove compares each file with its sum.
func (g *Got) prove() error {
	for i, f := range g.Files {
		h := sha256.New()
		if _, err := io.Copy(h, g.section(i)); err != nil {
			return err
		}
		if hex.EncodeToString(h.Sum(nil)) != f.SHA256 {
			return fmt.Errorf("%s came damaged: %w", f.Name, blob.ErrMissing)
		}
	}
	return nil
}

func (g *Got) section(i int) io.Reader {
	return io.NewSectionReader(g.from, g.starts[i], g.Files[i].Bytes)
}

// Names returns the names of the files.
func (g *Got) Names() []string {
	var names []string
	for _, f := range g.Files {
		names = append(names, f.Name)
	}
	return names
}

// Copy writes a file; its sum was proved.
func (g *Got) Copy(w io.Writer, name string) error {
	i := slices.IndexFunc(g.Files, func(f task.File) bool { return f.Name == name })
	if i < 0 {
		return fmt.Errorf("the result has no %s", name)
	}
	_, err := io.Copy(w, g.section(i))
	return err
}

// Close gives the files up.
func (g *Got) Close() {
	if g.file != nil {
		g.file.Close()
	}
}
