// Package spread cuts work into tasks and puts what comes back where the same work
// done in one process would have put it: for each kind of task how it is handed
// over, and how a worker does it.
package spread

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/night/build"
	"quoin/impose/queue/hand"
	"quoin/impose/queue/task"
	"quoin/impose/queue/work"
	"quoin/impose/raster"
	"quoin/impose/say"
	"quoin/impose/sheet"
	"quoin/impose/wholefile"
)

// runInput is what a run of a night is built from, beside its files.
type runInput struct {
	Name    string            `json:"name"`
	Job     json.RawMessage   `json:"job"`
	Remarks []string          `json:"remarks,omitempty"`
	Paper   string            `json:"paper"`
	Mixed   bool              `json:"mixed,omitempty"`
	NoProof bool              `json:"no_proof,omitempty"`
	Names   map[string]string `json:"seen,omitempty"` // how the night's files name others

	Pictures bool `json:"pictures,omitempty"` // labels are drawn for the sheet
	Ink      bool `json:"ink,omitempty"`      // their ink is measured
	Plates   bool `json:"plates,omitempty"`   // their plates are looked at
	Alike    bool `json:"alike,omitempty"`    // and they are compared with each other
}

// Hands makes the runs of a night elsewhere.
type Hands struct{ *hand.Hander }

// Make hands a run over and writes what comes back. A job that holds passwords is
// made here: no secret goes through the queue. So is one whose files can't be
// read, as it is then refused in the words that it always was.
func (h Hands) Make(ctx context.Context, p *build.Piece, to build.Write) error {
	files, lack := Contents(p.Job)
	if job.Locked(p.Job) || lack {
		return p.Make(ctx, to)
	}
	in := runInput{Name: p.Name, Remarks: p.Remarks, Paper: p.Paper.Name, Mixed: p.Mixed, NoProof: p.NoProof, Pictures: p.Pictures != nil, Ink: p.Ink != nil, Plates: p.Plates != nil, Alike: p.Alike != nil}
	var err error
	if in.Job, err = p.Job.Pack(); err != nil {
		return err
	}
	if p.NameOf != nil {
		in.Names = map[string]string{}
		for _, a := range p.Job.Artworks {
			path := p.Job.Path(a.File)
			in.Names[path] = p.NameOf(path)
		}
		for _, t := range p.Job.Took {
			in.Names[t.Path] = p.NameOf(t.Path)
		}
	}
	t := &task.Task{Kind: task.Run, Title: p.Name}
	if t.Input, err = json.Marshal(in); err != nil {
		return err
	}
	got, err := h.Do(ctx, t, files)
	if err != nil {
		return err
	}
	defer got.Close()
	var names []string
	if name := build.LabelsName(p.Name); slices.Contains(got.Names(), name) {
		names = append(names, name)
	}
	for i := range got.Files {
		if name := build.AlikeName(p.Name, i); slices.Contains(got.Names(), name) {
			names = append(names, name)
		}
	}
	for _, name := range append(names, p.Names()...) {
		if _, err := to(name, func(w io.Writer) error { return got.Copy(w, name) }); err != nil {
			return err
		}
	}
	return nil
}

// Contents lists what a job is made from, and more; lack says that some of it
// can't be read. A die's drawing that is not there is left out: the job is planned
// without it here too.
func Contents(j *job.Job, more ...string) (files []hand.File, lack bool) {
	needed, drawings := job.ContentFiles(j)
	add := func(path string) bool {
		if slices.ContainsFunc(files, func(f hand.File) bool { return f.Name == path }) {
			return true
		}
		info, err := os.Stat(path)
		if err != nil || !info.Mode().IsRegular() {
			return false
		}
		files = append(files, hand.File{Name: path, Path: path})
		return true
	}
	for _, path := range append(needed, more...) {
		lack = !add(path) || lack
	}
	for _, path := range drawings {
		if _, err := os.Stat(path); err == nil {
			lack = !add(path) || lack
		}
	}
	return files, lack
}

// nowhere is where a content lies that was not sent.
const nowhere = "/nonexistent/content"

// unpacked returns the job of a task, which finds its contents by their names among
// those that were fetched, and nowhere else.
func unpacked(packed json.RawMessage, t *task.Task, lies map[string]string) (*job.Job, error) {
	j, err := job.Unpack(packed)
	if err != nil {
		return nil, err
	}
	j.Content = func(path string) string {
		if at := lies[t.Files[path]]; at != "" {
			return at
		}
		return nowhere
	}
	return j, nil
}

// doRun builds a run of a night.
func doRun(ctx context.Context, t *task.Task, lies map[string]string, dir string, look build.Look) (*work.Answer, error) {
	var in runInput
	if err := json.Unmarshal(t.Input, &in); err != nil {
		return nil, fmt.Errorf("a run's input: %w", err)
	}
	j, err := unpacked(in.Job, t, lies)
	if err != nil {
		return nil, err
	}
	paper, err := sheet.ParsePaper(in.Paper)
	if err != nil {
		return nil, err
	}
	p := &build.Piece{Name: in.Name, Job: j, Remarks: in.Remarks, Paper: paper, NoProof: in.NoProof, Mixed: in.Mixed}
	if len(in.Remarks) != len(j.Artworks) {
		return nil, fmt.Errorf("%d remarks on %d orders", len(in.Remarks), len(j.Artworks))
	}
	if in.Pictures {
		p.Pictures = look.Pictures
	}
	if in.Ink {
		p.Ink = look.Ink
	}
	if in.Plates {
		p.Plates = look.Plates
	}
	if in.Alike {
		p.Alike, p.Passes = look.Alike, func(err error) bool { return Machines(ctx, err) }
	}
	if in.Pictures && p.Pictures == nil || in.Ink && p.Ink == nil || in.Plates && p.Plates == nil || in.Alike && p.Alike == nil {
		return nil, errors.New("this worker can't look at labels")
	}
	named := map[string]string{} // contents by how the files name them
	for _, a := range j.Artworks {
		path := j.Path(a.File)
		named[path], named[filepath.ToSlash(path)] = j.Lies(path), j.Lies(path)
		if seen := in.Names[path]; seen != "" {
			named[seen] = j.Lies(path)
		}
	}
	p.Lies = func(name string) string {
		if at := named[name]; at != "" {
			return at
		}
		return nowhere
	}
	if in.Names != nil {
		p.NameOf = func(path string) string { return in.Names[path] }
	}
	a := &work.Answer{}
	err = p.Make(ctx, writer(dir, a))
	return answered(ctx, a, asOrdered(err, j))
}

// writer writes files into a folder, whose names the answer lists.
func writer(dir string, a *work.Answer) build.Write {
	return func(name string, fill func(io.Writer) error, checks ...func(string) error) (string, error) {
		if !filepath.IsLocal(name) || filepath.Base(name) != name {
			return "", fmt.Errorf("%q is no plain file name", name)
		}
		sum, err := wholefile.Write(filepath.Join(dir, name), wholefile.Options{Unsynced: true}, fill, checks...)
		if err == nil {
			a.Files = append(a.Files, name)
		}
		return sum.SHA256, err
	}
}

// answered parts what the work refuses, which is an answer, from what went wrong
// with this machine, which another try may mend.
func answered(ctx context.Context, a *work.Answer, err error) (*work.Answer, error) {
	switch {
	case err == nil:
		return a, nil
	case Machines(ctx, err):
		return nil, err
	}
	return &work.Answer{Refusal: task.Answer(err)}, nil
}

// Machines reports whether an error is of this machine and not of the work: a disk,
// time that is up, a renderer that does not start. One that fails over a page may
// be either: that is the page's fault once several have failed over it.
func Machines(ctx context.Context, err error) bool {
	if say.KindOf(err) == say.Disk || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return true
	}
	drawn, ok := errors.AsType[*raster.Error](err)
	return ok && (!drawn.Started() || !work.LastTry(ctx))
}

// asOrdered names the artwork that an error is about as the order does.
func asOrdered(err error, j *job.Job) error {
	for _, a := range j.Artworks {
		err = artwork.CalledBy(err, j.Path(a.File), a.File)
	}
	return err
}
