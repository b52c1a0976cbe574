package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"

	"quoin/impose/batch"
	"quoin/impose/prove"
	"quoin/impose/summary"
	"quoin/impose/vary"
	"quoin/impose/wholefile"
)

const varyBatchWay = "name a folder behind -o, as in -o out/, or give -n to check the records only"

// batch writes the runs of several jobs, each into files of its own beside one
// register, so that no code is issued twice among them, and reports on all. What is
// wrong with one stops no other; a disk that is full stops all.
func (f *varyFlags) batch(ctx context.Context, io streams, inputs []string) error {
	all, err := f.each(inputs)
	if err != nil {
		return err
	}
	if !f.plan {
		if err := os.MkdirAll(f.out, 0o777); err != nil {
			return err
		}
	}
	report := &batch.Report{Schema: batch.Schema, Inputs: []batch.Input{}}
	var codes []int
	refused := func(input string, err error) {
		codes = append(codes, exitCode(err))
		report.Refuse(input, err, exitCode(err))
	}
	for i, one := range all {
		progress := io.newProgress()
		err := one.check([]string{inputs[i]})
		var got *varyReport
		if err == nil {
			got, err = one.one(ctx, io, inputs[i], progress)
		}
		progress.end()
		if err := stopsBatch(ctx, inputs[i], err); err != nil {
			return err
		}
		switch {
		case err != nil:
			refused(inputs[i], err)
		case got.Proof != nil && len(got.Proof.Differences) > 0:
			refused(inputs[i], prove.Failure(got.Proof, one.out))
		default:
			report.AddRecords(inputs[i], got.job, batch.Records{
				InData: got.Records, Labels: got.Labels, Frames: got.Frames, Parts: len(got.Parts), Proved: got.Proof != nil,
			}, varyFiles(got.Parts, filepath.Dir(one.out)), got.Warnings)
		}
	}
	return reportBatch(io, report, codes, f.json, f.strict)
}

// each gives the flags of every job, and refuses before anything is read what
// can't go well.
func (f *varyFlags) each(inputs []string) ([]*varyFlags, error) {
	folder := intoFolder(f.out)
	switch {
	case f.part > 0:
		return nil, usagef("--part names a part of one run, and there are %d jobs", "build that part by itself", len(inputs))
	case f.queue.queue != "":
		return nil, usagef("%d jobs are not handed over together", "hand each over by itself, or leave --queue out", len(inputs))
	case !f.plan && !folder:
		return nil, usagef("%s and %s are %d jobs, and the output is no folder", varyBatchWay, inputs[0], inputs[1], len(inputs))
	}
	var all []*varyFlags
	var outputs []string
	for _, in := range inputs {
		one := *f
		if base := strings.TrimSuffix(filepath.Base(in), filepath.Ext(in)); !f.plan {
			one.out = filepath.Join(f.out, base+".pdf")
			outputs = append(outputs, vary.Files(one.out)...)
		}
		all = append(all, &one)
	}
	return all, wholefile.RefuseInNew(outputs, inputs)
}

// varyFiles lists what a run wrote.
func varyFiles(parts []vary.ReportedPart, dir string) (files []summary.File) {
	for _, p := range parts {
		files = append(files, summary.File{Role: "output", Path: filepath.ToSlash(filepath.Join(dir, filepath.Base(p.File))), SHA256: p.Sum},
			summary.File{Role: "ledger", Path: filepath.ToSlash(filepath.Join(dir, filepath.Base(p.Ledger))), SHA256: p.Book})
	}
	return files
}
