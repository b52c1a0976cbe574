package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"quoin/impose/batch"
	"quoin/impose/say"
	"quoin/impose/summary"
	"quoin/impose/wholefile"
)

// aloneFlags name files of one input, so that they can't stand for several.
var aloneFlags = []string{"summary", "cutting-dxf", "cutting-svg", "proof", "picture", "alike-picture", "sheet", "ticket", "lanes-csv", "targets"}

const batchWay = "name a folder behind -o, as in -o out/, or give -n to see the plans only; lanes that share a frame stand in one job file"

// imposeSeveral imposes several inputs, each by itself, and reports on all of them.
func imposeSeveral(ctx context.Context, f *imposeFlags, io streams, inputs []string) error {
	all, err := flagsOfEach(f, inputs)
	if err != nil {
		return err
	}
	progress := io.newProgress()
	defer progress.end()
	next, done, err := nextImposed(ctx, f, io, all, inputs, io.saying(progress))
	if err != nil {
		return err
	}
	defer done()
	report, err := inTurn(ctx, inputs, func(i int, report *batch.Report) error {
		s, err := next(i)
		if err == nil {
			report.Add(inputs[i], s, s.Files)
		}
		return err
	})
	if err != nil {
		return err
	}
	progress.end()
	return reportBatch(io, report, f.json, f.strict)
}

// inTurn does several inputs, each by itself, and reports on all of them. What is
// wrong with one stops no other; a disk that is full stops all.
func inTurn(ctx context.Context, inputs []string, do func(i int, report *batch.Report) error) (*batch.Report, error) {
	report := &batch.Report{Schema: batch.Schema, Inputs: []batch.Input{}}
	for i, input := range inputs {
		err := do(i, report)
		if err := stopsBatch(ctx, input, err); err != nil {
			return nil, err
		}
		if err != nil {
			report.Refuse(input, err, exitCode(err))
		}
	}
	return report, nil
}

// intoFolder reports whether the output of a batch is a folder: one that is there,
// or a name that ends as one.
func intoFolder(out string) bool {
	return out != "" && out != "-" && (os.IsPathSeparator(out[len(out)-1]) || isFolder(out))
}

// stopsBatch returns what ends a whole batch after one of its inputs: the interrupt,
// or a disk that is full. Nil for what is wrong with that input alone.
func stopsBatch(ctx context.Context, input string, err error) error {
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case say.KindOf(err) == say.Disk:
		return fmt.Errorf("%s: %w", input, err)
	}
	return nil
}

// nextImposed returns what gives the summary of each input in turn: imposes it, or waits
// for it where they are handed over, several at a time.
func nextImposed(ctx context.Context, f *imposeFlags, io streams, all []*imposeFlags, inputs []string, step func(string)) (next func(int) (*summary.Summary, error), done func(), err error) {
	tell := func(i int, text string) { step(fmt.Sprintf("%d of %d, %s: %s", i+1, len(all), inputs[i], text)) }
	h, err := f.queue.hands(ctx, io, handImpose)
	if err != nil {
		return nil, nil, err
	}
	if h == nil {
		return func(i int) (*summary.Summary, error) {
			return imposeAlone(ctx, all[i], io, inputs[i], func(text string) { tell(i, text) })
		}, func() {}, nil
	}
	ctx, stop := context.WithCancel(ctx)
	coming := make(chan func() (*summary.Summary, error), handedAhead)
	var handing sync.WaitGroup
	handing.Go(func() {
		room := make(chan struct{}, handedAhead)
		for i, one := range all {
			select {
			case coming <- handAlone(ctx, one, io, h, inputs[i], room):
			case <-ctx.Done():
				return
			}
		}
	})
	return func(i int) (*summary.Summary, error) {
		tell(i, "waiting for a worker")
		select {
		case wait := <-coming:
			return wait()
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}, func() { stop(); handing.Wait(); h.close() }, nil
}

// handedAhead is how many inputs are handed over before the first has come.
const handedAhead = 64

// flagsOfEach returns the flags of every input, and refuses before anything is read what
// can't go well.
func flagsOfEach(f *imposeFlags, inputs []string) ([]*imposeFlags, error) {
	for _, name := range aloneFlags {
		if f.fs.Changed(name) {
			return nil, usagef("--%s names a file of one input, and there are %d", "impose that one by itself; a batch writes a PDF and its summary for each", name, len(inputs))
		}
	}
	bases, err := inFolder(f.out, f.plan, inputs, "inputs", batchWay, func(base string) []string { return []string{base + ".pdf", base + ".json"} })
	var all []*imposeFlags
	for _, base := range bases {
		one := *f
		if base != "" {
			one.out, one.summary = base+".pdf", base+".json"
		}
		all = append(all, &one)
	}
	return all, err
}

// inFolder returns what the files of each input begin with in a folder, which is
// made, or "" where only plans are wanted. It refuses before anything is read what
// can't go well. They are of a kind; files gives those of one.
func inFolder(out string, plan bool, inputs []string, kind, way string, files func(base string) []string) ([]string, error) {
	bases := make([]string, len(inputs))
	if plan {
		return bases, nil
	}
	if !intoFolder(out) {
		return nil, usagef("%s and %s are %d %s, and the output is no folder", way, inputs[0], inputs[1], len(inputs), kind)
	}
	var outputs []string
	for i, in := range inputs {
		bases[i] = filepath.Join(out, strings.TrimSuffix(filepath.Base(in), filepath.Ext(in)))
		outputs = append(outputs, files(bases[i])...)
	}
	if err := wholefile.RefuseInNew(outputs, inputs); err != nil {
		return nil, err
	}
	return bases, os.MkdirAll(out, 0o777)
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// imposeAlone imposes one input and writes its files.
func imposeAlone(ctx context.Context, f *imposeFlags, io streams, input string, say func(string)) (*summary.Summary, error) {
	if err := f.check(io, []string{input}); err != nil {
		return nil, err
	}
	im, notes, err := f.impose(ctx, io, input, say)
	if err != nil {
		return nil, err
	}
	defer im.frame.Close()
	for _, n := range notes {
		io.warn("%s: %s", input, n)
	}
	return f.summarised(im)
}

// reportBatch prints the report, and gives the error that the command ends with:
// where all inputs were refused for one kind of reason, that of the kind.
func reportBatch(io streams, r *batch.Report, asJSON, strict bool) error {
	if asJSON || !io.quiet {
		if err := io.print(asJSON, "report", r); err != nil {
			return err
		}
	}
	for _, in := range r.Inputs {
		if in.State == batch.Refused {
			fmt.Fprintf(io.err, "%s %s: %s\n", paint(io.err, "error:"), in.Input, in.Error)
			if in.Hint != "" {
				fmt.Fprintf(io.err, "%s %s\n", paint(io.err, "hint:"), in.Hint)
			}
		}
		for _, w := range in.Warnings {
			io.warn("%s: %s", in.Input, w.Text)
		}
		for _, n := range in.Notes {
			io.note("%s: %s", in.Input, n.Text)
		}
	}
	switch {
	case r.Refused > 0 && r.Done == 0:
		return say.Refuse(r.Kind(), "", "nothing was done: all %s refused", say.CountOf(r.Refused, "input was", "inputs were"))
	case r.Refused > 0:
		return say.Refuse(kindPartly, "", "done, but %s refused", say.CountOf(r.Refused, "input was", "inputs were"))
	}
	return strictly(strict, r.Warnings)
}
