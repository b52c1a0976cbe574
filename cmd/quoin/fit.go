package main

import (
	"context"
	"io"
	"slices"

	"github.com/spf13/pflag"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/fit"
	"quoin/impose/fit/ask"
	"quoin/impose/job"
	"quoin/impose/plate"
	"quoin/impose/wholefile"
)

const fitExample = "quoin fit --label 50x75mm --press press.yaml --dies dies.yaml --quantity 100000"

var fitVerb = verb{
	name:    "fit",
	args:    "[ART.pdf|JOB.yaml] [FLAGS]",
	short:   "say which die, web and turn serve an order, and why the others don't",
	example: fitExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &fitFlags{fs: fs}
		v.job.add(fs, job.LayoutFlags)
		textVar(fs, "near", "length", "how far a die's size may be off to be told of as a near miss (1mm)", &v.near)
		v.job.add(fs, job.OrderFlags, job.TermFlags)
		v.house.add(fs)
		v.access.add(fs)
		countVar(fs, &v.inks, "inks", 1, "printing `inks`, for the speed (those of the artwork)")
		fs.BoolVar(&v.all, "all", false, "list every die that doesn't fit, with all reasons")
		fs.BoolVar(&v.compare, "compare", false, "plan the order on every die, web and turn that serves it, side by side")
		fs.StringVar(&v.difference, "difference", "", "draw where the nearest die of another outline leaves the label's: an SVG `file`")
		fs.StringVar(&v.plot, "plot", "", "draw what the options cost over the quantity: an SVG `file`")
		fs.BoolVar(&v.json, "json", false, "print the report as JSON")
		return v.run
	},
}

// fitFlags are the flags of quoin fit.
type fitFlags struct {
	fs         *pflag.FlagSet
	job        jobFlags
	house      houseFlags
	access     accessFlags
	near       geometry.Length
	inks       int64
	plot       string
	difference string
	draw       func(io.Writer, string, geometry.Turn) error // of a die's number and the label's turn
	compare    bool
	all, json  bool
	inputs     []string // files that the answer rests on
}

func (f *fitFlags) run(ctx context.Context, io streams, args []string) error {
	q, err := f.ask(ctx, io, args)
	if err != nil {
		return err
	}
	if f.compare || f.plot != "" {
		return f.sideBySide(io, q)
	}
	report, err := fit.Answer(q)
	if err != nil {
		return err
	}
	if err := io.print(f.json, "report", report); err != nil {
		return err
	}
	if err := f.drawDifference(report); err != nil {
		return err
	}
	return report.Err()
}

// drawDifference draws the first die that only its outline speaks against.
func (f *fitFlags) drawDifference(r *fit.Report) error {
	if f.difference == "" {
		return nil
	}
	for _, l := range r.Layouts {
		if slices.ContainsFunc(l.Reasons, func(r geometry.Reason) bool { return r.Code == "outline" }) {
			turn := geometry.Turn(l.TurnDeg / 90)
			_, err := writeFile(f.difference, f.inputs, func(w io.Writer) error { return f.draw(w, l.Die, turn) })
			return err
		}
	}
	return usagef("there is no die of the label's size and another outline", "leave --difference out")
}

// sideBySide compares all options for the order.
func (f *fitFlags) sideBySide(io streams, q fit.Question) error {
	if q.Wish.Quantity == 0 {
		return usagef("options are compared for an order", "say how many labels with --quantity")
	}
	c, err := fit.Compare(q)
	if err != nil {
		return err
	}
	if f.plot != "" {
		if _, err := writeFile(f.plot, f.inputs, c.Plot); err != nil {
			return err
		}
	}
	return io.print(f.json, "report", c)
}

// ask turns the command line into a question.
func (f *fitFlags) ask(ctx context.Context, to streams, args []string) (fit.Question, error) {
	var none fit.Question
	if len(args) > 1 {
		return none, usagef("%s and %s are two inputs", "ask about one label at a time", args[0], args[1])
	}
	j, err := f.read(args)
	if err != nil {
		return none, err
	}
	if err := f.job.apply(j); err != nil {
		return none, err
	}
	if err := f.access.apply(j); err != nil {
		return none, err
	}
	if len(args) == 0 && j.Label == (geometry.Size{}) {
		return none, usagef("there is no label", "give --label 50x75mm, an artwork or a job file")
	}
	job.FreeWeb(j)
	if err := j.ValidateFit(); err != nil {
		return none, err
	}
	to.took(j)
	f.inputs = append(args, j.Files()...)
	if err := wholefile.Refuse([]string{f.plot}, f.inputs); err != nil {
		return none, err
	}
	inks := int(f.inks)
	if len(args) == 1 && !f.fs.Changed("inks") {
		inks = 0
	}
	asked, err := ask.About(ctx, j, len(args) == 1, inks)
	if err != nil {
		return none, err
	}
	if press := asked.Job.Press; len(args) == 1 && (f.compare || f.plot != "") && press != nil && press.InkUse.Known() {
		progress := to.newProgress()
		meter := &plate.Meter{Say: to.saying(progress), Cache: plate.UserCache()}
		err := asked.Ink(ctx, meter.Measure)
		meter.Close()
		progress.end()
		if err != nil {
			return none, err
		}
	}
	q := asked.Question
	f.draw = func(w io.Writer, die string, t geometry.Turn) error {
		return impose.DrawDifference(w, asked.Job, asked.Cut, die, t)
	}
	q.All = f.all
	if f.fs.Changed("near") {
		q.Wish.Near = f.near
	}
	for _, t := range j.Took {
		if text := gives(t); text != "" {
			q.Notes = append(q.Notes, geometry.Reason{Code: fit.CodeHouse, Text: text})
		}
	}
	return q, nil
}

// read returns the job that is asked about, or one that says nothing.
func (f *fitFlags) read(args []string) (*job.Job, error) {
	folders := []string{"."}
	if len(args) == 1 {
		folders = foldersOf(args[0])
	}
	houses, err := f.house.find(folders...)
	if err != nil {
		return nil, err
	}
	if len(args) == 1 {
		return readJob(args[0], houses, f.job.said())
	}
	j, err := houses.New("", f.job.said())
	if err != nil {
		return nil, err
	}
	j.Artworks = []job.Artwork{{Page: 1}}
	return j, nil
}
