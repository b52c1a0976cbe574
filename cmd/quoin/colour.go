package main

import (
	"context"
	"io"

	"github.com/spf13/pflag"

	"quoin/impose/colour"
	"quoin/impose/colour/condition"
	"quoin/impose/colour/report"
	"quoin/impose/job"
	"quoin/impose/say"
)

const colourExample = "quoin colour run.json measured.txt --house house.yaml --page colour.html"

var colourVerb = verb{
	name:    "colour",
	args:    "RUN.json [MEASURED...] [FLAGS]",
	short:   "judge a run's colour by what was measured on its targets",
	example: colourExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &colourFlags{}
		v.aims.add(fs)
		v.targets.add(fs)
		fs.StringVar(&v.press, "press", "", "press `FILE` that knows what a station less would save")
		fileVar(fs, &v.page, "page", []string{".html"}, "write the report as a page that works offline to this `FILE`.html")
		fileVar(fs, &v.customer, "customer", []string{".html"}, "write the page for the customer, spot by spot over the run, to this `FILE`.html")
		fileVar(fs, &v.pdf, "pdf", []string{".pdf"}, "write the report to this `FILE`.pdf")
		fileVar(fs, &v.curves, "curves", []string{".csv"}, "write the correction curves, which are advice, to this `FILE`.csv")
		fs.BoolVar(&v.json, "json", false, "print the report as JSON")
		return v.run
	},
}

// aimFlags say what patches should be, beside the output intent.
type aimFlags struct {
	house, table, profile string
}

func (f *aimFlags) add(fs *pflag.FlagSet) {
	fs.StringVar(&f.house, "house", "", "house `FILE` of spot colours and tolerances (YAML)")
	fs.StringVar(&f.table, "characterisation", "", "characterisation table `FILE` that aims are taken from")
	fs.StringVar(&f.profile, "profile", "", "ICC profile `FILE` in place of the output intent's")
}

// aims gathers them; found is what the artworks say.
func (f *aimFlags) aims(found *condition.Found) (*colour.Aims, error) {
	a := &colour.Aims{Spectra: found.Solids()}
	if f.house != "" {
		house, err := colour.ReadHouse(f.house)
		if err != nil {
			return nil, err
		}
		a.House = house
	}
	if f.table != "" {
		if err := a.UseTable(f.table); err != nil {
			return nil, err
		}
	}
	if f.profile != "" {
		if err := found.Read(f.profile); err != nil {
			return nil, err
		}
	}
	a.Profile, a.From = found.Profile, found.Name
	return a, nil
}

// colourFlags are the flags of quoin colour.
type colourFlags struct {
	aims                               aimFlags
	targets                            targetPaths
	press, page, customer, pdf, curves string
	json                               bool
}

func (f *colourFlags) run(_ context.Context, std streams, args []string) error {
	if len(args) < 1 || len(args) < 2 && len(f.targets.files) == 0 {
		return usagef("a run's summary and what was measured are needed; %s", "as in: "+colourExample, say.CountOf(len(args), "file was named", "files were named"))
	}
	if err := f.targets.check(); err != nil {
		return err
	}
	run, err := colour.ReadRun(args[0])
	if err != nil {
		return err
	}
	aims, found, err := f.aimsOf(run)
	if err != nil {
		return err
	}
	for _, path := range f.targets.files {
		write := func(w io.Writer) error { return writeTargets(w, path, run, aims, found, f.targets.repeats) }
		if _, err := writeFile(path, args, write); err != nil {
			return err
		}
	}
	if len(args) < 2 {
		for _, n := range found.Notes {
			std.warn("%s", n)
		}
		return nil
	}
	rep, err := f.judge(run, aims, args[1:])
	if err != nil {
		return err
	}
	rep.Notes = append(rep.Notes, found.Notes...)
	if err := f.files(rep, args); err != nil {
		return err
	}
	if err := std.print(f.json, "report", rep); err != nil {
		return err
	}
	if rep.Verdict == colour.Stop {
		return say.Refuse(kindStop, "", "the colour is out of tolerance: stop")
	}
	return nil
}

// aimsOf gathers what the run's patches should be, and what its artworks say
// of their printing condition.
func (f *colourFlags) aimsOf(run *colour.PressRun) (*colour.Aims, *condition.Found, error) {
	found := &condition.Found{}
	if f.aims.profile == "" {
		found = condition.OfRun(run)
	}
	aims, err := f.aims.aims(found)
	return aims, found, err
}

// judge reads what was measured and makes the report.
func (f *colourFlags) judge(run *colour.PressRun, aims *colour.Aims, measured []string) (*colour.Report, error) {
	var press *job.Press
	if f.press != "" {
		var err error
		if press, err = job.ReadPress(f.press); err != nil {
			return nil, err
		}
	}
	all, err := colour.ReadMeasured(run, measured)
	if err != nil {
		return nil, err
	}
	rep := colour.Judge(run, all, aims)
	rep.Curves = colour.Curves(rep)
	rep.Fewer = colour.Fewer(run, rep, aims, press)
	rep.Together = colour.Together(run, rep, press)
	return rep, nil
}

// files writes what was asked for beside the text.
func (f *colourFlags) files(rep *colour.Report, inputs []string) error {
	return writeAsked([]part{
		{"page", f.page, func(w io.Writer) error { return report.HTML(w, rep) }},
		{"customer", f.customer, func(w io.Writer) error { return report.Customer(w, rep) }},
		{"pdf", f.pdf, func(w io.Writer) error { return report.PDF(w, rep) }},
		{"curves", f.curves, func(w io.Writer) error { return colour.WriteCurves(w, rep) }},
	}, func(p part) error {
		_, err := writeFile(p.path, inputs, p.write)
		return err
	})
}
