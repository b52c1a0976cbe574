package main

import (
	"cmp"
	"context"
	"fmt"
	"path/filepath"

	"github.com/spf13/pflag"

	"quoin/impose/plate"
	"quoin/impose/prove"
	"quoin/impose/prove/pixels"
	"quoin/impose/say"
	"quoin/impose/verify"
	"quoin/impose/verify/labels"
)

const verifyExample = "quoin verify out.pdf out.json"

var verifyVerb = verb{
	name:    "verify",
	args:    "OUT.pdf SUMMARY.json [FLAGS], or --run RUN.pdf",
	short:   "re-open an imposed PDF and prove it against its summary and its artworks, or a run of variable data",
	example: verifyExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &verifyFlags{fs: fs}
		v.add(fs)
		v.queue.add(fs)
		return v.run
	},
}

// verifyFlags are the flags of quoin verify.
type verifyFlags struct {
	fs                        *pflag.FlagSet
	json, pixels, all         bool
	labels, register, records string
	access                    accessFlags
	queue                     queueFlags
	lies                      func(path string) string // where files lie whose names these are; nil: under them
}

func (f *verifyFlags) add(fs *pflag.FlagSet) {
	f.access.addPassword(fs)
	fs.BoolVar(&f.pixels, "pixels", false, "draw each plate of the file and of its artworks and compare them pixel by pixel")
	fs.StringVar(&f.labels, "run", "", "prove this run of variable data instead, by its press `FILE`: register, journal, ledgers and pages, whose symbols are read back")
	fs.StringVar(&f.register, "register", "", "register `FILE` of that run; "+registerName+" beside it by default")
	fs.StringVar(&f.records, "records", "", "CSV `FILE` to compare with the records that were printed")
	fs.BoolVar(&f.all, "all", false, "read the symbols of every frame back, and not only of each part's first and last")
	fs.BoolVar(&f.json, "json", false, "print the result as JSON")
}

// at returns where a file lies.
func (f *verifyFlags) at(path string) string {
	if f.lies == nil {
		return path
	}
	return f.lies(path)
}

func (f *verifyFlags) run(ctx context.Context, io streams, args []string) error {
	if f.labels != "" {
		return f.varied(ctx, io, args)
	}
	if len(args) != 2 {
		return usagef("a PDF and its summary are needed; %s", "quoin impose writes the summary with --summary FILE; then: "+verifyExample, say.CountOf(len(args), "file was named", "files were named"))
	}
	if f.queue.queue != "" && f.access.passwordFile == "" {
		return f.hand(ctx, io, args)
	}
	return f.prove(ctx, io, args)
}

// prove verifies a PDF against its summary.
func (f *verifyFlags) prove(ctx context.Context, io streams, args []string) error {
	plan, err := f.plan(args[1])
	if err != nil {
		return err
	}
	password, err := f.access.password()
	if err != nil {
		return err
	}
	opt := verify.Options{Name: args[0], Summary: args[1], Lies: f.lies, Password: func(string) string { return password }}
	proof, err := prove.File(ctx, f.at(args[0]), plan, opt)
	if err != nil {
		return err
	}
	v := &verification{Proof: proof}
	if f.pixels {
		progress := io.newProgress()
		v.Pixels, err = byPixels(ctx, f.at(args[0]), plan, opt, io.saying(progress))
		progress.end()
		if err != nil {
			return err
		}
	}
	if f.json {
		err = say.JSON(io.out, v)
	} else if err = v.Result.Text(io.out); err == nil {
		err = v.Ready.Text(io.out)
	}
	if err == nil && v.Pixels != nil && !f.json {
		err = pixels.Text(io.out, v.Pixels)
	}
	if err != nil {
		return fmt.Errorf("printing the result: %w", err)
	}
	return v.failure()
}

// byPixels compares the plates of a PDF with those of its artworks.
func byPixels(ctx context.Context, path string, plan *verify.Expected, opt verify.Options, say func(string)) (*plate.PixelReport, error) {
	p := &pixels.Prover{Say: say, DPI: pixels.Fine}
	defer p.Close()
	return p.File(ctx, path, plan, opt)
}

// varied proves a run of variable data.
func (f *verifyFlags) varied(ctx context.Context, to streams, args []string) error {
	if len(args) > 0 {
		return usagef("a run is proved from its register, and %q is named too", "as in: quoin verify --run run.pdf", args[0])
	}
	if f.queue.queue != "" {
		return f.handRun(ctx, to)
	}
	return f.proveRun(ctx, to)
}

// ofRun says which run is proved.
func (f *verifyFlags) ofRun() labels.Options {
	book := cmp.Or(f.register, filepath.Join(filepath.Dir(f.labels), registerName))
	return labels.Options{Register: book, Run: f.labels, Records: f.records, All: f.all, Lies: f.lies}
}

// proveRun proves a run.
func (f *verifyFlags) proveRun(ctx context.Context, to streams) error {
	progress := to.newProgress()
	defer progress.end()
	o := f.ofRun()
	o.Say = to.saying(progress)
	r, err := labels.Verify(ctx, o)
	if err != nil {
		return err
	}
	progress.end()
	if err := to.print(f.json, "result", r); err != nil {
		return err
	}
	return shown(prove.Failure(r, f.labels))
}

// verification is all that is found out about a written file.
type verification struct {
	*prove.Proof
	Pixels *plate.PixelReport `json:"pixels,omitempty"` // where they were asked for
}

// failure returns an error with what is wrong, or nil: a difference from the plan,
// from what the file is said to be, or of pixels.
func (v *verification) failure() error {
	err := v.Proof.Failure()
	if p := v.Pixels; p != nil && p.Differs() {
		e, ok := err.(*prove.Error)
		if !ok {
			e = &prove.Error{File: v.File}
		}
		e.Wrong = append(e.Wrong, pixels.Wrong(p))
		err = e
	}
	return shown(err)
}

// shown marks an error as one of which the list has been printed.
func shown(err error) error {
	if err == nil {
		return nil
	}
	return &shownError{err}
}

type shownError struct{ error }

func (e *shownError) Unwrap() error { return e.error }
