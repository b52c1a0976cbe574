package main

import (
	"context"
	"runtime/debug"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/pdfobj"
	"quoin/impose/plate"
	"quoin/impose/raster"
)

const inspectExample = "quoin inspect label.pdf --bleed 1.5mm"

var inspectVerb = verb{
	name:    "inspect",
	args:    "ART.pdf [FLAGS]",
	short:   "say what an artwork is: boxes, inks, layers, fonts, images, findings",
	example: inspectExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &inspectFlags{fs: fs}
		fs.StringVar(&v.pages, "pages", "", "only these `pages`, as 1,3 or 2-5 (all)")
		textVar(fs, "bleed", "length", "bleed that the job wants; a page with less gets a finding", &v.bleed)
		v.access.add(fs)
		fs.BoolVar(&v.coverage, "coverage", false, "draw each ink's plate and say how much of the label it covers")
		textVar(fs, "ink-limit", "percent", "with --coverage: most that the inks may add up to at a place; without it, the press file's", &v.limit)
		fs.StringVar(&v.press, "press", "", "with --coverage: press `FILE` with the rules: ink-limit, from-cut, fine-text, fine-line")
		textVar(fs, "from-cut", "length", "with --coverage: least distance of text, bars and lines from the cut (1mm); 0mm asks for none", &v.fromCut)
		fs.BoolVar(&v.json, "json", false, "print the report as JSON")
		fs.BoolVar(&v.strict, "strict", false, "end with exit code 3 when there are warnings")
		return v.run
	},
}

// inspectFlags are the flags of quoin inspect.
type inspectFlags struct {
	fs           *pflag.FlagSet
	pages        string
	bleed        geometry.Length
	json, strict bool
	access       accessFlags
	coverage     bool
	limit        inkLimit
	fromCut      geometry.Length
	press        string
}

func (f *inspectFlags) run(ctx context.Context, io streams, args []string) error {
	if len(args) != 1 {
		return usagef("one artwork is inspected at a time; %d were named", "as in: "+inspectExample, len(args))
	}
	press, err := f.rules()
	if err != nil {
		return err
	}
	numbers, err := pageNumbers(f.pages)
	if err != nil {
		return err
	}
	password, err := f.access.password()
	if err != nil {
		return err
	}
	leave, err := f.access.leave()
	if err != nil {
		return err
	}
	file, err := artwork.Open(args[0], artwork.Options{
		PDF: pdfobj.Limits{Context: ctx, Password: password, Permitted: leave != ""}, Bleed: f.bleed, Long: f.access.long,
		FineText: press.FineText.Points(), FineLine: press.FineLine.Points(),
	})
	if err != nil {
		return err
	}
	defer file.Close()
	report, err := file.Report(numbers...)
	if err != nil {
		return err
	}
	if f.coverage {
		if err := f.measure(ctx, io, file, report); err != nil {
			return err
		}
	}
	if err := io.print(f.json, "report", report); err != nil {
		return err
	}
	return strictly(f.strict, report.Warnings())
}

// inkLimit is the most that inks may add up to, read as in press and job files.
type inkLimit struct{ geometry.Share }

func (l *inkLimit) UnmarshalText(text []byte) (err error) {
	l.Share, err = job.ParseInkLimit(string(text))
	return err
}

// rules reads the press file and puts its rules where no flag says others.
func (f *inspectFlags) rules() (*job.Press, error) {
	press, own := &job.Press{}, f.fromCut
	if f.press != "" {
		var err error
		if press, err = job.ReadPress(f.press); err != nil {
			return nil, err
		}
	}
	if !f.fs.Changed("ink-limit") {
		f.limit.Share = press.InkLimit
	}
	f.fromCut = job.DistanceFromCut(press.FromCut)
	if f.fs.Changed("from-cut") {
		f.fromCut = job.DistanceFromCut(&own)
	}
	return press, nil
}

// measure draws the plates of the pages in the report.
func (f *inspectFlags) measure(ctx context.Context, io streams, file *artwork.File, report *artwork.Report) error {
	lean()
	progress := io.newProgress()
	defer progress.end()
	renderer, err := raster.New(ctx, io.saying(progress))
	if err != nil {
		return err
	}
	defer renderer.Close()
	debug.FreeOSMemory()
	for i := range report.Pages {
		page, err := file.Page(report.Pages[i].Page)
		if err != nil {
			return err
		}
		c, err := plate.Coverage(ctx, page, renderer, plate.CoverageOptions{Limit: 100 * f.limit.Float(), FromCut: f.fromCut, Cache: plate.UserCache()})
		if err != nil {
			return err
		}
		report.Pages[i].Measured(c)
	}
	return nil
}

// mostPages bounds a list of pages.
const mostPages = 100_000

// pageNumbers reads "1,3" and "2-5"; nothing means all pages.
func pageNumbers(text string) ([]int, error) {
	var list []int
	if text == "" {
		return nil, nil
	}
	bad := func() ([]int, error) {
		return nil, usagef("--pages %s is no list of pages", "write numbers and ranges from 1, as in 1,3 or 2-5", text)
	}
	for _, part := range strings.Split(text, ",") {
		first, last, isRange := strings.Cut(strings.TrimSpace(part), "-")
		a, err := strconv.Atoi(first)
		if err != nil || a < 1 {
			return bad()
		}
		b := a
		if isRange {
			if b, err = strconv.Atoi(last); err != nil {
				return bad()
			}
		}
		if b < a || b-a+len(list) > mostPages {
			return bad()
		}
		for ; a <= b; a++ {
			list = append(list, a)
		}
	}
	return list, nil
}
