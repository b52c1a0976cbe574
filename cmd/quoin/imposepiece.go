package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"strconv"

	"github.com/spf13/pflag"

	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/queue/hand"
	"quoin/impose/queue/spread"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// mayHand reports whether an imposition can be handed over. A password goes
// through no queue, and what targets should be is read from files of this machine.
func mayHand(f *imposeFlags, j *job.Job) bool {
	return !job.Locked(j) && j.Data == nil && len(f.targets.paths.files) == 0
}

// tellHere says why an imposition that could be handed over is done here.
func tellHere(f *imposeFlags, io streams, j *job.Job) {
	if !mayHand(f, j) {
		io.tell("%s is imposed here: passwords, records and the files behind --targets are not handed over", j.Name)
	}
}

// imposeHere imposes a job in this process.
func imposeHere(ctx context.Context, f *imposeFlags, io streams, j *job.Job) error {
	progress := io.newProgress()
	defer progress.end()
	im, notes, err := f.work(ctx, io, j, io.saying(progress))
	if err != nil {
		return err
	}
	return f.end(io, im, notes, progress)
}

// handOne reads an input and hands its imposition over.
func handOne(ctx context.Context, f *imposeFlags, io streams, input string) error {
	j, err := f.ready(ctx, input)
	defer f.again.close()
	if err != nil {
		return err
	}
	io.took(j)
	return handJob(ctx, f, io, j)
}

// handJob hands the imposition of a job over, where that may be.
func handJob(ctx context.Context, f *imposeFlags, io streams, j *job.Job) error {
	in, files, err := handPiece(f, j)
	switch {
	case err != nil:
		return err
	case in == nil:
		tellHere(f, io, j)
		return imposeHere(ctx, f, io, j)
	}
	return handCommand(ctx, io, &f.queue, *in, j.Name, files, j.Files())
}

// handPiece returns the imposition of a job as it is handed over, with what it is made
// from; nil where it is done here, as one whose files can't be read, which is then
// refused in the words that it always was.
func handPiece(f *imposeFlags, j *job.Job) (*commandInput, []hand.File, error) {
	if !mayHand(f, j) {
		return nil, nil, nil
	}
	in := &commandInput{Verb: handImpose, Args: givenFlags(f.fs, "password-file", "permitted-by", "long-content", "house-file", "no-house", "artwork")}
	for _, path := range f.outputs() {
		if path != "" {
			in.Outputs = append(in.Outputs, path)
		}
	}
	var err error
	if in.Job, err = j.Pack(); err != nil {
		return nil, nil, err
	}
	var old []string
	if f.again != nil {
		in.Verb = handAgain
		if in.Again, old, err = f.again.piece(); err != nil {
			return nil, nil, err
		}
	}
	files, lack := spread.Contents(j, old...)
	if lack {
		return nil, nil, nil
	}
	return in, files, nil
}

// carryOutImpose imposes a job that was handed over. Of one of several inputs the
// summary goes into done.
func carryOutImpose(ctx context.Context, to *streams, in commandInput, at func(string) string, dir string, done *commandOutput) error {
	fs := pflag.NewFlagSet(in.Verb, pflag.ContinueOnError)
	f := &imposeFlags{fs: fs, places: map[string]string{}}
	if in.Again != nil {
		f.again = &againFlags{}
		f.again.addPicture(fs)
	}
	f.add(fs)
	if err := parsed(fs, to, in.Args); err != nil {
		return err
	}
	if f.access.passwordFile != "" || f.access.permittedBy != "" || f.house != (houseFlags{}) || len(f.targets.paths.files) > 0 || f.out == "-" {
		return errors.New("a command that was handed over names files of this machine")
	}
	j, err := job.Unpack(in.Job)
	if err != nil {
		return err
	}
	j.Content = at
	for i, path := range in.Outputs {
		f.places[path] = filepath.Join(dir, strconv.Itoa(i))
	}
	if in.Again != nil {
		if err := f.again.unpack(ctx, in.Again, at); err != nil {
			return err
		}
		defer f.again.close()
	}
	if !in.Batch {
		return imposeHere(ctx, f, *to, j)
	}
	// Where the inputs were named, it is known which of them writes where.
	f.out, f.summary = "", ""
	if len(in.Outputs) == 2 {
		f.summary, f.out = in.Outputs[0], in.Outputs[1]
	}
	im, notes, err := f.work(ctx, *to, j, func(string) {})
	if err != nil {
		return err
	}
	defer im.frame.Close()
	done.Notes = notes
	done.Summary, err = f.summarised(im)
	return err
}

// againInput is what is needed of an old job to say how the new one differs.
type againInput struct {
	Old      json.RawMessage `json:"old,omitempty"`
	Unknown  string          `json:"unknown,omitempty"` // why there is none
	Was      []string        `json:"was"`               // artworks' files
	Replaced []int           `json:"replaced"`
}

// piece returns it, with the old artworks.
func (f *againFlags) piece() (in *againInput, files []string, err error) {
	in = &againInput{Unknown: f.unknown, Replaced: f.replaced}
	for _, a := range f.was {
		in.Was = append(in.Was, a.File)
	}
	if f.old == nil {
		return in, nil, nil
	}
	for _, i := range f.replaced {
		files = append(files, f.old.Job.Path(f.was[i].File))
	}
	in.Old, err = f.old.Job.Pack()
	return in, files, err
}

// unpack opens the old job among what was handed over.
func (f *againFlags) unpack(ctx context.Context, in *againInput, at func(string) string) error {
	f.unknown, f.replaced = in.Unknown, in.Replaced
	for _, file := range in.Was {
		f.was = append(f.was, job.Artwork{File: file})
	}
	for _, i := range f.replaced {
		if i < 0 || i >= len(f.was) {
			return fmt.Errorf("there is no artwork %d", i+1)
		}
	}
	if in.Unknown != "" {
		return nil
	}
	old, err := job.Unpack(in.Old)
	if err != nil {
		return err
	}
	old.Content = at
	f.old, err = impose.Open(ctx, old)
	return err
}

// handAlone hands one of several inputs over; what it returns waits for it.
func handAlone(ctx context.Context, f *imposeFlags, io streams, h *handed, input string, room chan struct{}) func() (*summary.Summary, error) {
	refused := func(err error) func() (*summary.Summary, error) {
		return func() (*summary.Summary, error) { return nil, err }
	}
	if err := f.check(io, []string{input}); err != nil {
		return refused(err)
	}
	j, err := f.read(input)
	if err != nil {
		return refused(err)
	}
	in, files, err := handPiece(f, j)
	if err != nil {
		return refused(err)
	}
	if in == nil {
		return func() (*summary.Summary, error) {
			tellHere(f, io, j)
			return imposeAlone(ctx, f, io, input, func(string) {})
		}
	}
	in.Batch = true
	type came struct {
		out *commandOutput
		err error
	}
	coming := make(chan came, 1)
	room <- struct{}{}
	go func() {
		defer func() { <-room }()
		out, err := h.command(ctx, *in, input, files, j.Files())
		coming <- came{out, err}
	}()
	return func() (*summary.Summary, error) {
		c := <-coming
		if c.err != nil {
			return nil, c.err
		}
		io.took(j)
		io.err.Write(c.out.Err)
		if c.out.Refusal != nil {
			return nil, c.out.Refusal.Error()
		}
		for _, n := range c.out.Notes {
			io.warn("%s: %s", input, n)
		}
		if c.out.Summary == nil {
			return nil, say.Refuse(say.Failed, "", "a worker gave no summary of %s", input)
		}
		return c.out.Summary, nil
	}
}
