package main

import (
	"context"
	"path/filepath"

	"quoin/impose/batch"
	"quoin/impose/prove"
	"quoin/impose/summary"
	"quoin/impose/vary"
)

const varyBatchWay = "name a folder behind -o, as in -o out/, or give -n to check the records only"

// batch writes the runs of several jobs, each into files of its own beside one
// register, so that no code is issued twice among them, and reports on all.
func (f *varyFlags) batch(ctx context.Context, io streams, inputs []string) error {
	all, err := f.each(inputs)
	if err != nil {
		return err
	}
	report, err := inTurn(ctx, inputs, func(i int, report *batch.Report) error {
		if err := all[i].check([]string{inputs[i]}); err != nil {
			return err
		}
		progress := io.newProgress()
		got, err := all[i].one(ctx, io, inputs[i], progress)
		progress.end()
		switch {
		case err != nil:
			return err
		case got.Proof != nil && len(got.Proof.Differences) > 0:
			return prove.Failure(got.Proof, all[i].out)
		}
		report.AddRecords(inputs[i], got.job, batch.Records{
			InData: got.Records, Labels: got.Labels, Frames: got.Frames, Parts: len(got.Parts), Proved: got.Proof != nil,
		}, varyFiles(got.Parts, filepath.Dir(all[i].out)), got.Warnings)
		return nil
	})
	if err != nil {
		return err
	}
	return reportBatch(io, report, f.json, f.strict)
}

// each returns the flags of every job, and refuses before anything is read what
// can't go well.
func (f *varyFlags) each(inputs []string) ([]*varyFlags, error) {
	switch {
	case f.part > 0:
		return nil, usagef("--part names a part of one run, and there are %d jobs", "build that part by itself", len(inputs))
	case f.queue.queue != "":
		return nil, usagef("%d jobs are not handed over together", "hand each over by itself, or leave --queue out", len(inputs))
	}
	bases, err := inFolder(f.out, f.plan, inputs, "jobs", varyBatchWay, func(base string) []string { return vary.Files(base + ".pdf") })
	var all []*varyFlags
	for _, base := range bases {
		one := *f
		if base != "" {
			one.out = base + ".pdf"
		}
		all = append(all, &one)
	}
	return all, err
}

// varyFiles lists what a run wrote.
func varyFiles(parts []vary.ReportedPart, dir string) (files []summary.File) {
	for _, p := range parts {
		files = append(files, summary.File{Role: "output", Path: filepath.ToSlash(filepath.Join(dir, filepath.Base(p.File))), SHA256: p.Sum},
			summary.File{Role: "ledger", Path: filepath.ToSlash(filepath.Join(dir, filepath.Base(p.Ledger))), SHA256: p.Book})
	}
	return files
}
