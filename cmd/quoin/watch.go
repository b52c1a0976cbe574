package main

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"quoin/impose/job"
	watching "quoin/impose/queue/watch"
	"quoin/impose/say"
)

const watchExample = "quoin watch in --out done"

var watchVerb = verb{
	name:    "watch",
	args:    "IN --out OUT [FLAGS]",
	short:   "do what is put into a folder: job files, order lists, bare PDFs; answer each once",
	example: watchExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &watchFlags{}
		fs.StringVar(&v.out, "out", "", "`folder` for what is made")
		fs.DurationVar(&v.every, "every", 2*time.Second, "time between two looks")
		fs.DurationVar(&v.still, "still", 5*time.Second, "time that a file must not have changed to be whole; a file named like it with "+watching.Ready+" behind says so at once")
		fs.IntVar(&v.atOnce, "at-once", watchedAtOnce, "files that are done at a time; nights and runs leave one place to what is short")
		fs.BoolVar(&v.once, "once", false, "look until what is there is answered, and end")
		fs.BoolVar(&v.logJSON, "log-json", false, "write the log as JSON, a line for each event")
		v.queue.add(fs)
		return v.run
	},
}

// watchedAtOnce is how many files of a watched folder are done at a time.
const watchedAtOnce = 4

// watchFlags are the flags of quoin watch.
type watchFlags struct {
	out           string
	every, still  time.Duration
	atOnce        int
	once, logJSON bool
	queue         queueFlags
	log           *slog.Logger
}

func (f *watchFlags) run(ctx context.Context, io streams, args []string) error {
	switch {
	case len(args) != 1:
		return usagef("one folder is watched; %d were named", "as in: "+watchExample, len(args))
	case f.out == "":
		return usagef("the folder for what is made is missing", "as in: "+watchExample)
	case f.every <= 0 || f.still < 0:
		return usagef("--every and --still are times", "write them as in 2s")
	case f.atOnce < 1:
		return usagef("--at-once %d is less than one file", "give at least 1", f.atOnce)
	}
	w, err := f.watcher(io, args[0])
	if err != nil {
		return err
	}
	if !f.once {
		return w.Run(ctx)
	}
	return w.Once(ctx)
}

// watcher returns what watches a folder.
func (f *watchFlags) watcher(io streams, in string) (*watching.Watcher, error) {
	f.log = newLog(io, f.logJSON)
	return watching.New(watching.Options{In: in, Out: f.out, Every: f.every, Still: f.still, AtOnce: f.atOnce, Log: f.log, Do: f.do})
}

// do does a file: what it says to standard output is for people, what it refuses
// is the answer.
func (f *watchFlags) do(ctx context.Context, it *watching.Item) (*watching.Done, error) {
	var out, words bytes.Buffer
	to := streams{out: &out, err: &words}
	ctx = withQueueLog(ctx, f.log) // several files share one queue
	done := &watching.Done{}
	made := func(paths ...string) {
		for _, path := range paths {
			done.Files = append(done.Files, f.rel(path))
		}
	}
	var err error
	switch it.Kind {
	case watching.Orders:
		args := []string{it.Path, "--out", it.Out}
		if it.Defaults != "" {
			args = append(args, "--job", it.Defaults)
		}
		err = gangVerb.run(ctx, to, append(args, f.queue.words()...))
		made(it.Out)
	case watching.Run:
		if err := os.MkdirAll(it.Out, 0o777); err != nil {
			return nil, err
		}
		pdf := filepath.Join(it.Out, strings.TrimSuffix(filepath.Base(it.Out), "-run")+".pdf")
		err = varyVerb.run(ctx, to, append([]string{it.Path, "-o", pdf, "--register", filepath.Join(f.outFolder(), registerName)}, f.queue.words()...))
		if err != nil {
			os.Remove(it.Out) // which is empty, unless something was begun
		}
		made(it.Out)
	default:
		pdf, summary := it.Out+".pdf", it.Out+".json"
		err = f.impose(ctx, to, it, pdf, summary)
		made(pdf, summary)
	}
	if say.KindOf(err) == kindPartly {
		words.WriteString(err.Error() + "\n")
		err = nil // the report says which, and why
	}
	if err != nil {
		if there, ok := errors.AsType[errSaid](err); ok {
			err = there.refusal.Error()
		}
		if file, ok := errors.AsType[*job.FileError](err); ok {
			err = &say.Refusal{Kind: say.BadFile, Text: strings.TrimSpace(file.Report()), Err: nil}
		}
		return nil, err
	}
	done.Said = out.String() + words.String()
	return done, nil
}

// rel is how a file is called from the folder of results on.
func (f *watchFlags) rel(path string) string {
	name, err := filepath.Rel(f.outFolder(), path)
	if err != nil {
		return filepath.Base(path)
	}
	return filepath.ToSlash(name)
}

func (f *watchFlags) outFolder() string {
	path, err := filepath.Abs(f.out)
	if err != nil {
		return f.out
	}
	return path
}

// impose imposes a job file, or a bare artwork with the settings of its folder.
func (f *watchFlags) impose(ctx context.Context, to streams, it *watching.Item, pdf, summary string) error {
	args := []string{it.Path, "-o", pdf, "--summary", summary}
	if it.Kind == watching.Job {
		return imposeVerb.run(ctx, to, append(args, f.queue.words()...))
	}
	fs := pflag.NewFlagSet("impose", pflag.ContinueOnError)
	v := &imposeFlags{fs: fs}
	v.add(fs)
	v.queue.add(fs)
	if err := fs.Parse(append([]string{"-o", pdf, "--summary", summary}, f.queue.words()...)); err != nil {
		return err
	}
	houses, err := v.house.find(filepath.Dir(it.Defaults))
	if err != nil {
		return err
	}
	j, err := houses.ReadJob(it.Defaults, nil)
	if err != nil {
		return err
	}
	a := job.Artwork{Page: 1}
	if len(j.Artworks) > 0 { // its quantity, lanes and rolls are every artwork's
		a = j.Artworks[0]
	}
	a.File, a.Product = it.Path, ""
	j.Artworks = []job.Artwork{a}
	j.Name = strings.TrimSuffix(filepath.Base(it.Path), filepath.Ext(it.Path))
	if err := j.Validate(); err != nil {
		return err
	}
	if err := v.check(to, []string{it.Path}); err != nil {
		return err
	}
	to.took(j)
	if v.queue.queue != "" {
		return handJob(ctx, v, to, j)
	}
	return imposeHere(ctx, v, to, j)
}

// words returns the flags that hand work to the same queue.
func (f *queueFlags) words() []string {
	if f.queue == "" {
		return nil
	}
	args := []string{"--queue", f.queue, "--priority", f.priority}
	if f.user != "" {
		args = append(args, "--queue-user", f.user)
	}
	if f.authority != "" {
		args = append(args, "--queue-ca", f.authority)
	}
	return args
}
