package main

import (
	"context"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"

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
	in := commandInput{Verb: handVerify, Args: append([]string{"--json=" + strconv.FormatBool(f.json), "--pixels=" + strconv.FormatBool(f.pixels), "--"}, args...)}
	return handCommand(ctx, io, &f.queue, in, filepath.Base(args[0]), files, nil)
}

// handRun hands the proof of a run of variable data over, with its register, journal,
// ledgers and press files.
func (f *verifyFlags) handRun(ctx context.Context, io streams) error {
	o := f.ofRun()
	names, err := labels.Files(o)
	if err != nil {
		return f.proveRun(ctx, io) // which says what is wrong with it
	}
	var files []hand.File
	for _, name := range names {
		files = append(files, hand.File{Name: name, Path: name})
	}
	in := commandInput{Verb: handVerify, Args: []string{"--json=" + strconv.FormatBool(f.json), "--all=" + strconv.FormatBool(f.all), "--run=" + f.labels, "--register=" + o.Register, "--records=" + f.records}}
	return handCommand(ctx, io, &f.queue, in, filepath.Base(f.labels), files, nil)
}

// plan reads the summary.
func (f *verifyFlags) plan(path string) (*verify.Plan, error) {
	if f.lies == nil {
		return verify.ReadPlan(path)
	}
	file, err := os.Open(f.lies(path))
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return verify.ParsePlan(path, file)
}

// carryOutVerify verifies a file that was handed over.
func carryOutVerify(ctx context.Context, to *streams, in commandInput, at func(string) string) error {
	fs := pflag.NewFlagSet("verify", pflag.ContinueOnError)
	f := &verifyFlags{lies: at}
	fs.BoolVar(&f.json, "json", false, "")
	fs.BoolVar(&f.pixels, "pixels", false, "")
	fs.BoolVar(&f.all, "all", false, "")
	fs.StringVar(&f.labels, "run", "", "")
	fs.StringVar(&f.register, "register", "", "")
	fs.StringVar(&f.records, "records", "", "")
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
