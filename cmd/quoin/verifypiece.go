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
	if err := parsed(fs, to, in.Args); err != nil {
		return err
	}
	if fs.NArg() != 2 {
		return errors.New("a verification that was handed over names no two files")
	}
	return f.prove(ctx, *to, fs.Args())
}
