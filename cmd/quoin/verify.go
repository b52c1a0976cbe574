package main

import (
	"context"
	"fmt"
	"path/filepath"

	"github.com/spf13/pflag"

	"quoin/impose/conform"
	"quoin/impose/plate"
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
		v := &verifyFlags{}
		v.access.addPassword(fs)
		fs.BoolVar(&v.pixels, "pixels", false, "draw each plate of the file and of its artworks and compare them pixel by pixel")
		fs.StringVar(&v.labels, "run", "", "prove this run of variable data instead, by its press `FILE`: register, journal, ledgers and pages, whose symbols are read back")
		fs.StringVar(&v.register, "register", "", "register `FILE` of that run; "+registerName+" beside it by default")
		fs.StringVar(&v.records, "records", "", "CSV `FILE` to compare with the records that were printed")
		fs.BoolVar(&v.all, "all", false, "read the symbols of every frame back, and not only of each part's first and last")
		fs.BoolVar(&v.json, "json", false, "print the result as JSON")
		v.queue.add(fs)
		return v.run
	},
}

// verifyFlags are the flags of quoin verify.
type verifyFlags struct {
	json, pixels, all         bool
	labels, register, records string
	access                    accessFlags
	queue                     queueFlags
	lies                      func(path string) string // where files lie whose names these are; nil: under them
}

// at returns where a file lies.
func (f *verifyFlags) at(path string) string {
	if f.lies == nil {
		return path
	}
	return f.lies(path)
}

func (f *verifyFlags) run(ctx context.Context, io streams, args []string) error {
	if err := f.queue.check(); err != nil {
		return err
	}
	if f.labels != "" {
		if f.queue.queue != "" {
			return usagef("a run of variable data is proved where its register is", "leave --queue out")
		}
		return f.varied(ctx, io, args)
	}
	if f.register != "" || f.records != "" || f.all {
		return usagef("--register, --records and --all are about a run of variable data", "name its press file with --run")
	}
	if len(args) != 2 {
		return usagef("a PDF and its summary are needed; %d files were named", "quoin impose writes the summary with --summary FILE; then: "+verifyExample, len(args))
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
	v, err := verified(ctx, f.at(args[0]), plan, verify.Options{Name: args[0], Summary: args[1], Lies: f.lies, Password: func(string) string { return password }})
	if err != nil {
		return err
	}
	if f.pixels {
		progress := io.newProgress()
		v.Pixels, err = proveByPixels(ctx, args[0], plan, f.at, io.saying(progress))
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
		err = pixelText(io.out, v.Pixels)
	}
	if err != nil {
		return fmt.Errorf("printing the result: %w", err)
	}
	return v.failure(true)
}

// varied proves a run of variable data.
func (f *verifyFlags) varied(ctx context.Context, to streams, args []string) error {
	if len(args) > 0 {
		return usagef("a run is proved from its register, and %q is named too", "as in: quoin verify --run run.pdf", args[0])
	}
	book := f.register
	if book == "" {
		book = filepath.Join(filepath.Dir(f.labels), registerName)
	}
	progress := to.newProgress()
	defer progress.end()
	r, err := labels.Verify(ctx, labels.Options{Register: book, Run: f.labels, Records: f.records, All: f.all, Say: to.saying(progress)})
	if err != nil {
		return err
	}
	progress.end()
	if f.json {
		err = say.JSON(to.out, r)
	} else {
		err = r.Text(to.out)
	}
	if err != nil || len(r.Differences) == 0 {
		return err
	}
	e := &differError{file: f.labels, printed: true}
	for _, d := range r.Differences {
		e.wrong = append(e.wrong, d.Code+": "+d.Text)
	}
	return e
}

// verification is all that is found out about a written file.
type verification struct {
	*verify.Result
	Ready  *conform.Report    `json:"press_ready"`
	Pixels *plate.PixelReport `json:"pixels,omitempty"` // where they were asked for
	wrong  []conform.Breach   // that break what the summary or the file claims
}

// verified proves a file against its plan, and checks it against the list of
// what a press-ready file must be.
func verified(ctx context.Context, path string, plan *verify.Plan, opt verify.Options) (*verification, error) {
	result, err := verify.File(ctx, path, plan, opt)
	if err != nil {
		return nil, err
	}
	ready, err := conform.File(ctx, path)
	if err != nil {
		return nil, err
	}
	return &verification{Result: result, Ready: ready, wrong: ready.Against(plan.Marker())}, nil
}

// failure gives an error with what is wrong, or nil: a difference from the plan,
// or from what the file is said to be. printed says that the list has been seen.
func (v *verification) failure(printed bool) error {
	e := &differError{file: v.File}
	for _, d := range v.Differences {
		e.wrong = append(e.wrong, "differs: "+d.Code+": "+d.Text)
	}
	if p := v.Pixels; p != nil && p.Differs() {
		e.wrong = append(e.wrong, fmt.Sprintf("differs: pixels: %.2f points of tint, %s", p.Worst, p.WorstAt))
	}
	for _, b := range v.wrong {
		e.wrong = append(e.wrong, "breaks "+b.Rule+" of PDF/X-4, which it is said to be: "+b.Text)
	}
	if len(e.wrong) == 0 {
		return nil
	}
	e.printed = printed
	return e
}

// differError says that a file is not as planned.
type differError struct {
	file    string
	wrong   []string
	printed bool
}

func (e *differError) Error() string {
	return e.file + " is not as planned: " + say.CountOf(len(e.wrong), "thing is", "things are") + " wrong"
}

// Hint gives the way out.
func (e *differError) Hint() string { return "don't print it; impose again and verify" }
