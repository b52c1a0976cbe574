package plan

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"runtime/debug"
	"sync"

	"quoin/impose"
	"quoin/impose/alike"
	"quoin/impose/desk/folder"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// Bench holds a job's artworks open while it is worked on. It is safe for
// concurrent use: one plans at a time.
type Bench struct {
	folder *folder.Folder
	path   string // of the job, seen from the folder
	by     alike.Comparer

	mu    sync.Mutex
	shelf impose.Shelf
	last  *Result // of the text that was planned last
}

// NewBench takes up a job of the folder. Its labels are compared with each other by
// what is handed over, and those that look alike parted as quoin impose parts them.
func NewBench(f *folder.Folder, path string, by alike.Comparer) *Bench {
	return &Bench{folder: f, path: path, by: by}
}

// Close closes the artworks.
func (b *Bench) Close() error {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.shelf.Close()
}

// Read reads the text as the job, over the house files that quoin impose takes, and refuses one that names a file outside the
// folder. Beside a *job.FileError the job holds what could be read.
func Read(f *folder.Folder, path string, text []byte) (*job.Job, error) {
	houses, err := Houses(f, path)
	if err != nil {
		return nil, err
	}
	j, err := houses.ParseJob(filepath.Join(f.Path, filepath.FromSlash(path)), text, f.Named)
	if err != nil {
		return j, err
	}
	for _, file := range append(j.Files(), j.Dies.Outlines()...) {
		if err := f.Holds(file); err != nil {
			return j, err
		}
	}
	return j, nil
}

// With works the text out and hands the imposition, what comparing its labels found
// and its summary to see, which must not keep them.
func (b *Bench) With(ctx context.Context, text []byte, see func(*impose.Imposition, *alike.Found, *summary.Summary) error) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.with(ctx, text, see)
}

func (b *Bench) with(ctx context.Context, text []byte, see func(*impose.Imposition, *alike.Found, *summary.Summary) error) (err error) {
	defer func() {
		if r := recover(); r != nil { // whatever an artwork holds, the page stays
			err = fmt.Errorf("the job can't be worked out: %v", r)
			debug.PrintStack()
			b.shelf.Close()
			b.shelf = impose.Shelf{}
		}
	}()
	j, err := Read(b.folder, b.path, text)
	if err != nil {
		return err
	}
	if err := j.Validate(); err != nil {
		return err
	}
	im, err := b.shelf.Open(ctx, j)
	if err != nil {
		return err
	}
	defer func() { im.Close() }()
	im, found, err := alike.Part(ctx, b.by, im, false)
	if err != nil {
		return err
	}
	s, err := im.Summary(impose.Written{Name: b.folder.NameOf, Warnings: found.Notes(im, "")})
	if err != nil {
		return err
	}
	s.House = housesOf(b.folder, j)
	return see(im, found, s)
}

// Plan plans a text. What is wrong with it is in the result; the error is that of
// a context that ended.
func (b *Bench) Plan(ctx context.Context, text []byte) (*Result, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	version := folder.Version(text)
	if b.last != nil && b.last.Version == version && b.last.stamp == b.stamp(b.last.inputs) {
		return b.last, nil
	}
	r := &Result{Version: version, Path: b.path}
	err := b.with(ctx, text, func(im *impose.Imposition, found *alike.Found, s *summary.Summary) error {
		return r.fill(b.folder, im, found, s)
	})
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil {
		b.refuse(ctx, r, text, err)
	}
	if r.job == nil {
		r.job, _ = Read(b.folder, b.path, text)
	}
	r.Houses = housesOf(b.folder, r.job)
	r.Values = values(r, text)
	b.last = nil
	if r.job != nil { // else a file that it names may be at fault, and which one isn't known
		r.inputs = Inputs(b.folder, b.path, r.job)
		r.stamp = b.stamp(r.inputs)
		b.last = r
	}
	return r, nil
}

// stamp tells whether the files that a plan rests on are still the same.
func (b *Bench) stamp(paths []string) string {
	text := ""
	for _, p := range paths {
		text += b.folder.Stamp(p) + "\n"
	}
	return text
}

// refuse says in the result why the text has no frame.
func (b *Bench) refuse(ctx context.Context, r *Result, text []byte, err error) {
	var file *job.FileError
	if errors.As(err, &file) {
		for _, f := range file.Faults {
			where := ""
			if f.Line > 0 {
				at := f.Position
				at.Path = b.folder.NameOf(at.Path)
				where = at.String()
			}
			r.Faults = append(r.Faults, Fault{Key: f.Key, Where: where, Text: b.folder.Short(f.Text()), Hint: b.folder.Short(f.Hint)})
		}
	} else {
		j, _ := Read(b.folder, b.path, text)
		r.Faults = []Fault{{Key: keyOf(j, err), artworks: artworksOf(b.folder, err), Text: b.folder.Short(err.Error()), Hint: b.folder.Short(say.Hint(err))}}
	}
	r.ways(ctx, b, text, err)
}
