package spread

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"sync"

	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/queue/hand"
	"quoin/impose/queue/task"
	"quoin/impose/queue/work"
	"quoin/impose/vary"
	"quoin/impose/wholefile"
)

// partInput is what a part of a variable run is written from, beside its files.
type partInput struct {
	Job      json.RawMessage `json:"job"`
	Identity string          `json:"identity"` // of the imposition where it was handed over
	First    int64           `json:"first"`    // frame, counted from 1
	Frames   int64           `json:"frames"`
}

// The names of a part's files on their way.
const (
	partFile   = "part.pdf"
	partLedger = "part.ledger.csv"
)

// ahead is how many parts are asked for before the first has come.
const ahead = 64

// Parts returns what makes the parts of a variable run elsewhere, for
// vary.Output; nil where the job's passwords, or files that can't be read, keep it
// here.
func Parts(h *hand.Hander, im *impose.Imposition, identity string) func(context.Context, []vary.Part) (func(context.Context, vary.Part, io.Writer, io.Writer) error, error) {
	j := im.Job
	files, lack := Contents(j, im.Artworks()...)
	if job.Locked(j) || lack {
		return nil
	}
	return func(ctx context.Context, parts []vary.Part) (func(context.Context, vary.Part, io.Writer, io.Writer) error, error) {
		packed, err := j.Pack()
		if err != nil {
			return nil, err
		}
		type come struct {
			got *hand.Got
			err error
		}
		coming := map[int64]chan come{}
		room := make(chan struct{}, ahead)
		for _, p := range parts {
			coming[p.Number] = make(chan come, 1)
		}
		go func() {
			for _, p := range parts {
				select {
				case room <- struct{}{}:
				case <-ctx.Done():
					return
				}
				go func() {
					t := &task.Task{Kind: task.Part, Title: filepath.Base(p.File)}
					var c come
					if t.Input, c.err = json.Marshal(partInput{packed, identity, p.First, p.Frames}); c.err == nil {
						c.got, c.err = h.Do(ctx, t, files)
					}
					coming[p.Number] <- c
				}()
			}
		}()
		return func(ctx context.Context, p vary.Part, file, ledger io.Writer) error {
			select {
			case <-ctx.Done():
				return ctx.Err()
			case c := <-coming[p.Number]:
				<-room
				if c.err != nil {
					return c.err
				}
				defer c.got.Close()
				if err := c.got.Copy(file, partFile); err != nil {
					return err
				}
				return c.got.Copy(ledger, partLedger)
			}
		}, nil
	}
}

// prepared is the run whose parts this process writes: checking all records takes
// longer than a part, so the last one stays.
var prepared struct {
	sync.Mutex
	key      string
	im       *impose.Imposition
	run      *vary.Run
	identity string
}

// prepare works a run out, unless it is the last one.
func prepare(ctx context.Context, in *partInput, t *task.Task, lies map[string]string) error {
	p := &prepared
	key := string(in.Job)
	for _, sum := range t.Files {
		key += lies[sum] // a content that lies elsewhere now is opened anew
	}
	if p.run != nil && p.key == key {
		return nil
	}
	if p.im != nil {
		p.im.Close()
		p.im, p.run = nil, nil
	}
	j, err := unpacked(in.Job, t, lies)
	if err != nil {
		return err
	}
	im, err := impose.Open(ctx, j)
	if err != nil {
		return err
	}
	p.im = im
	records, err := im.Records()
	if err != nil {
		return err
	}
	run, _, err := im.Vary(ctx, records, nil)
	if err != nil {
		return err
	}
	if p.identity, err = im.Identity(); err != nil {
		return err
	}
	run.Close() // whoever hands the part over enters it
	p.key, p.run = key, run
	return nil
}

// doPart writes a part of a variable run.
func doPart(ctx context.Context, t *task.Task, lies map[string]string, dir string) (*work.Answer, error) {
	var in partInput
	if err := json.Unmarshal(t.Input, &in); err != nil {
		return nil, fmt.Errorf("a part's input: %w", err)
	}
	prepared.Lock()
	defer prepared.Unlock()
	// The run outlives this piece, and so must what its artworks are read under.
	if err := prepare(context.WithoutCancel(ctx), &in, t, lies); err != nil {
		return answered(ctx, nil, err)
	}
	run := prepared.run
	if prepared.identity != in.Identity {
		return nil, errors.New("the run comes out other than where it was handed over")
	}
	if in.First < 1 || in.Frames < 1 || in.First-1+in.Frames > run.Order.Frames() {
		return nil, fmt.Errorf("there are no frames %d to %d", in.First, in.First-1+in.Frames)
	}
	a := &work.Answer{Files: []string{partFile, partLedger}}
	_, err := wholefile.Write(filepath.Join(dir, partFile), wholefile.Options{Unsynced: true}, func(file io.Writer) error {
		_, err := wholefile.Write(filepath.Join(dir, partLedger), wholefile.Options{Unsynced: true}, func(ledger io.Writer) error {
			return run.WriteFrames(ctx, file, ledger, in.First-1, in.First-1+in.Frames, nil)
		})
		return err
	})
	return answered(ctx, a, err)
}
