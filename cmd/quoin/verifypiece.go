package main

import (
	"context"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/pflag"

	"quoin/impose/queue/hand"
	"quoin/impose/verify"
	"quoin/impose/verify/labels"
)

// hand hands a verification over, with the file, its summary and the artworks that
// this names.
func (f *verifyFlags) hand(ctx context.Context, io streams, args []string) error {
	plan, err := f.plan(args[1])
	if err != nil {
		return err
	}
	found := map[string]string{args[0]: args[0], args[1]: args[1]}
	for _, a := range plan.Artworks {
		at, err := (&verify.Options{Summary: args[1]}).Find(plan, a.Path)
		if err != nil {
			return f.prove(ctx, io, args) // which says what is wrong with it
		}
		found[a.Path] = at
	}
	var files []hand.File
	for _, name := range slices.Sorted(maps.Keys(found)) {
		files = append(files, hand.File{Name: name, Path: found[name]})
	}
	if _, err := os.Stat(args[0]); err != nil {
		return f.prove(ctx, io, args)
	}
	return f.handOver(ctx, io, args[0], files, append([]string{"--"}, args...)...)
}

// handRun hands the proof of a run of variable data over, with its register, journal,
// ledgers and press files.
func (f *verifyFlags) handRun(ctx context.Context, io streams) error {
	names, err := labels.Files(f.ofRun())
	if err != nil {
		return f.proveRun(ctx, io) // which says what is wrong with it
	}
	var files []hand.File
	for _, name := range names {
		files = append(files, hand.File{Name: name, Path: name})
	}
	return f.handOver(ctx, io, f.labels, files)
}

// handOver hands the proof of a file over; args are those behind the flags.
func (f *verifyFlags) handOver(ctx context.Context, io streams, path string, files []hand.File, args ...string) error {
	in := commandInput{Verb: handVerify, Args: append(givenFlags(f.fs, "password-file", "quiet", "verbose"), args...)}
	return handCommand(ctx, io, &f.queue, in, filepath.Base(path), files, nil)
}

// plan reads the summary.
func (f *verifyFlags) plan(path string) (*verify.Expected, error) {
	if f.lies == nil {
		return verify.ReadExpected(path)
	}
	file, err := os.Open(f.lies(path))
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return verify.ParseExpected(path, file)
}

// carryOutVerify verifies a file that was handed over.
func carryOutVerify(ctx context.Context, to *streams, in commandInput, at func(string) string) error {
	fs := pflag.NewFlagSet("verify", pflag.ContinueOnError)
	f := &verifyFlags{lies: at}
	f.add(fs)
	if err := parsed(fs, to, in.Args); err != nil {
		return err
	}
	if f.labels != "" {
		return f.proveRun(ctx, *to)
	}
	if fs.NArg() != 2 {
		return errors.New("a verification that was handed over names no two files")
	}
	return f.prove(ctx, *to, fs.Args())
}
