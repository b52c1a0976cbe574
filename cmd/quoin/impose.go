package main

import (
	"context"

	"github.com/spf13/pflag"

	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/wholefile"
)

const imposeExample = "quoin impose label.pdf --web 340mm --edge 10mm --gap 3x3.175mm --bleed 1.5mm --frame-max 980mm --quantity 100000 -o out.pdf"

var imposeVerb = verb{
	name:    "impose",
	args:    "ART.pdf|JOB.yaml [FLAGS] -o OUT.pdf, or several of them with -o FOLDER/",
	short:   "lay labels on the web and write the press-ready PDF and its summary",
	example: imposeExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &imposeFlags{fs: fs}
		v.add(fs)
		v.queue.add(fs)
		return v.run
	},
}

// imposeFlags are the flags of quoin impose, and of quoin again.
type imposeFlags struct {
	fs           *pflag.FlagSet
	again        *againFlags // nil for impose
	job          jobFlags
	house        houseFlags
	access       accessFlags
	cuts         cuttingFiles
	pictures     pictureFlags
	sheet        sheetFlags
	ticket       ticketFlags
	targets      targetFlags
	out, summary string
	json, plan   bool
	strict       bool
	coverage     bool
	verify       bool
	noVerify     bool
	queue        queueFlags
	places       map[string]string // see imposed
	noAlike      bool
}

func (f *imposeFlags) add(fs *pflag.FlagSet) {
	f.job.add(fs, job.LayoutFlags, job.BlockFlags, job.OrderFlags, job.TermFlags, job.RollFlags, job.MarkFlags, job.PlateFlags)
	f.house.add(fs)
	f.access.add(fs)
	f.cuts.add(fs)
	f.pictures.add(fs)
	f.sheet.add(fs)
	f.ticket.add(fs)
	f.targets.add(fs)
	fs.StringVarP(&f.out, "output", "o", "", "write the imposed PDF to this `FILE`; - for standard output; of several inputs, a PDF and a summary each into this folder")
	fs.StringVar(&f.summary, "summary", "", "write the summary as JSON to this `FILE` too")
	fs.BoolVar(&f.json, "json", false, "print the summary as JSON")
	fs.BoolVarP(&f.plan, "plan-only", "n", false, "work out the summary and write no PDF")
	fs.BoolVar(&f.verify, "verify", false, "prove the file against its summary before it appears, as is done anyway")
	fs.BoolVar(&f.noVerify, "no-verify", false, "let the file appear without that proof")
	fs.BoolVar(&f.noAlike, "no-look-alikes", false, "don't compare the labels of several artworks by their plates")
	fs.BoolVar(&f.coverage, "coverage", false, "draw the plates: say how much of each ink the run takes, as is done anyway where the press file says ink-use, and warn of what is wrong on them, as where from-cut or ink-limit is said")
	fs.BoolVar(&f.strict, "strict", false, "end with exit code 3 when there are warnings")
}

func (f *imposeFlags) run(ctx context.Context, io streams, args []string) error {
	args = matching(args)
	if len(args) > 1 && f.again == nil {
		return imposeSeveral(ctx, f, io, args)
	}
	if err := f.check(io, args); err != nil {
		return err
	}
	if f.queue.queue != "" {
		return handOne(ctx, f, io, args[0])
	}
	progress := io.newProgress()
	defer progress.end()
	im, notes, err := f.impose(ctx, io, args[0], io.saying(progress))
	if err != nil {
		return err
	}
	return f.end(io, im, notes, progress)
}

// end says what there is to say of an imposition.
func (f *imposeFlags) end(io streams, im *imposed, notes []string, p *progress) error {
	defer im.frame.Close()
	p.end()
	for _, n := range notes {
		io.warn("%s", n)
	}
	return f.report(io, im)
}

// impose works an input out and writes the files that were asked for; notes are
// what there is to say of them.
func (f *imposeFlags) impose(ctx context.Context, io streams, input string, say func(string)) (im *imposed, notes []string, err error) {
	if f.again != nil {
		say("reading the old artworks")
	}
	j, err := f.ready(ctx, input)
	defer f.again.close()
	if err != nil {
		return nil, nil, err
	}
	io.took(j)
	return f.work(ctx, io, j, say)
}

// ready reads an input, and puts the new artworks into a job that is printed again.
func (f *imposeFlags) ready(ctx context.Context, input string) (*job.Job, error) {
	j, err := f.read(input)
	if err != nil || f.again == nil {
		return j, err
	}
	if err := f.again.replace(ctx, j, f.noAlike); err != nil {
		return nil, err
	}
	return j, wholefile.Refuse(f.outputs(), j.Files())
}

// work is impose for a job that was read.
func (f *imposeFlags) work(ctx context.Context, io streams, j *job.Job, say func(string)) (im *imposed, notes []string, err error) {
	say("reading the artworks")
	worked, err := impose.Open(ctx, j)
	if err != nil {
		if f.again != nil {
			for _, more := range f.again.further(ctx, j, err) {
				io.warn("also in the way: %s", more)
			}
		}
		return nil, nil, err
	}
	im = &imposed{frame: worked, places: f.places}
	if !f.noAlike {
		say("comparing the labels")
		err = im.compareLabels(ctx, f.again != nil) // lanes of a job that is printed again stay: see againFlags.part
	}
	if err == nil {
		err = im.plates(ctx, f.coverage, say)
	}
	if err == nil && f.again != nil {
		notes, err = f.again.compare(ctx, im, say)
	}
	if err == nil {
		var more []string
		more, err = f.files(ctx, io, im, say)
		notes = append(notes, more...)
	}
	if err != nil {
		im.frame.Close()
		return nil, nil, err
	}
	return im, notes, nil
}

// check refuses command lines that can't be carried out as they stand.
func (f *imposeFlags) check(io streams, args []string) error {
	switch {
	case len(args) == 0:
		return usagef("an artwork or a job file is missing", "as in: "+imposeExample)
	case f.lacksOutput() && isJobFile(args[0]):
		return usagef("the output file is missing", outputWay)
	case f.out == "-" && isTerminal(io.out):
		return usagef("a PDF is not written to a terminal", "name a file behind -o, or send the output into a pipe")
	}
	if f.again != nil {
		if err := f.again.check(args); err != nil {
			return err
		}
	}
	for _, check := range []func() error{f.pictures.check, f.targets.paths.check} {
		if err := check(); err != nil {
			return err
		}
	}
	return wholefile.Refuse(f.outputs(), args)
}

const outputWay = "name the output with -o OUT.pdf, or give -n to see the plan only"

func (f *imposeFlags) lacksOutput() bool { return f.out == "" && !f.plan }
