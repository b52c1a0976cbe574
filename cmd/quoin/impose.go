package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/prove"
	"quoin/impose/say"
	"quoin/impose/summary"
	"quoin/impose/verify"
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
	fs.BoolVar(&f.coverage, "coverage", false, "draw the plates: say how much of each ink the run takes, as is done anyway where the press file says ink-use, and warn of what is amiss on them, as where from-cut or ink-limit is said")
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

// files writes every file that was asked for, and gives back what there is to
// say of them.
func (f *imposeFlags) files(ctx context.Context, io streams, im *imposed, say func(string)) ([]string, error) {
	if !f.noAlike {
		var err error
		if im.written.Warnings, err = lookAlikes(im, f.pictures.alike); err != nil {
			return nil, err
		}
	}
	if !f.plan {
		say("writing " + f.out)
		if err := f.write(ctx, io, im); err != nil {
			return nil, err
		}
	}
	if err := f.cuts.write(im); err != nil {
		return nil, err
	}
	if err := f.pictures.write(ctx, im, say); err != nil {
		return nil, err
	}
	notes, err := f.sheet.write(ctx, im, say)
	if err != nil {
		return nil, err
	}
	if err := f.ticket.write(im); err != nil {
		return nil, err
	}
	return notes, f.targets.write(im)
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

// outputs lists every file that was asked for.
func (f *imposeFlags) outputs() []string {
	list := []string{f.summary, f.cuts.dxf, f.cuts.svg, f.pictures.proof, f.pictures.layout, f.pictures.alike, f.sheet.path, f.ticket.ticket, f.ticket.lanes}
	if !f.plan {
		list = append(list, f.out)
	}
	if f.again != nil {
		list = append(list, f.again.picture)
	}
	return list
}

// write makes the PDF appear, whole, and the summary beside it.
func (f *imposeFlags) write(ctx context.Context, to streams, im *imposed) error {
	if f.out == "-" {
		w := bufio.NewWriterSize(to.out, 1<<18)
		if err := im.writePDF(ctx, w); err != nil {
			return err
		}
		return w.Flush()
	}
	var checks []func(string) error
	if !f.noVerify {
		prove, err := f.proof(ctx, im)
		if err != nil {
			return err
		}
		checks = append(checks, prove)
	}
	sum, err := wholefile.Write(im.place(f.out), wholefile.Options{Inputs: im.frame.Inputs()}, func(w io.Writer) error { return im.writePDF(ctx, w) }, checks...)
	if err == nil {
		im.written.Proved = !f.noVerify
		im.wrote("output", f.out, sum.SHA256)
	}
	return err
}

// proof returns what verifies the file that is about to be written and to appear. Its
// summary is read while the file is written.
func (f *imposeFlags) proof(ctx context.Context, im *imposed) (check func(working string) error, err error) {
	coming := *im
	coming.written.Pages = 1
	s, err := coming.summary()
	if err != nil {
		return nil, err
	}
	holds := prove.Expect(s, verify.Options{Name: f.out, Password: im.frame.Job.PasswordOf, Lies: im.frame.Job.Content})
	return func(working string) error { return holds(ctx, working) }, nil
}

// summarised gives the summary, and writes it where it was asked for.
func (f *imposeFlags) summarised(im *imposed) (*summary.Summary, error) {
	s, err := im.summary()
	if err == nil && f.summary != "" {
		_, err = writeFile(im.place(f.summary), im.frame.Inputs(), func(w io.Writer) error { return say.JSON(w, s) })
	}
	return s, err
}

// report prints the summary and the warnings.
func (f *imposeFlags) report(to streams, im *imposed) error {
	s, err := f.summarised(im)
	if err != nil {
		return err
	}
	words := to.out
	if f.out == "-" {
		words = to.err
	}
	switch {
	case f.json:
		err = say.JSON(to.out, s)
	case !to.quiet:
		err = s.Text(words)
	}
	if err != nil {
		return fmt.Errorf("printing the summary: %w", err)
	}
	to.warnings(s.Warnings)
	for _, n := range s.Notes {
		if f.json || !summary.InText(n.Code) {
			to.note("%s", n.Text)
		}
	}
	return strictly(f.strict, len(s.Warnings))
}

// read gives the job with the flags over it, once nothing is missing.
func (f *imposeFlags) read(path string) (*job.Job, error) {
	houses, err := f.house.find(foldersOf(path)...)
	if err != nil {
		return nil, err
	}
	j, err := readJob(path, houses, f.job.said())
	if err != nil {
		return nil, err
	}
	if err := f.job.apply(j); err != nil {
		return nil, err
	}
	if err := f.access.apply(j); err != nil {
		return nil, err
	}
	if err := asFlags(f.fs, j.Validate(), f.lacksOutput()); err != nil {
		return nil, err
	}
	return j, wholefile.Refuse(f.outputs(), j.Files())
}

// asFlags turns what is wrong with a job that came from no file into a fault of
// the command line, in its words: all that is missing at once, the output too.
func asFlags(fs *pflag.FlagSet, err error, lacksOutput bool) error {
	var file *job.FileError
	if err != nil && (!errors.As(err, &file) || file.Path != "" || len(file.Faults) == 0 || file.Faults[len(file.Faults)-1].Path != "") {
		return err // of a job file, or of a house file: those stand behind what has no place
	}
	var missing, texts, ways []string
	if file != nil {
		for _, f := range file.Faults {
			name := f.Of
			if flag := name[strings.LastIndexByte(name, '.')+1:]; fs.Lookup(flag) != nil { // "artworks[0].quantity" is --quantity
				name = "--" + flag
			}
			if f.Missing() {
				missing = append(missing, name)
			} else {
				texts = append(texts, f.TextOf(name))
			}
			if f.Hint != "" {
				ways = append(ways, f.Hint)
			}
		}
	}
	if lacksOutput {
		missing, ways = append(missing, "the output file"), append(ways, outputWay)
	}
	switch len(missing) {
	case 0:
	case 1:
		texts = append(texts, missing[0]+" is missing")
	default:
		texts = append(texts, say.List(missing)+" are missing")
	}
	if len(texts) == 0 {
		return nil
	}
	return usagef("%s", strings.Join(ways, "; "), strings.Join(texts, "; "))
}

func isJobFile(path string) bool {
	return slices.Contains([]string{".yaml", ".yml"}, strings.ToLower(filepath.Ext(path)))
}

// readJob gives the job of a job file, or one for a single artwork, over the
// house files; the flags that will go over it are said.
func readJob(path string, houses job.Houses, said []job.Said) (*job.Job, error) {
	if isJobFile(path) {
		return houses.ReadJob(path, said)
	}
	j, err := houses.New("", said)
	if err != nil {
		return nil, err
	}
	j.Name = strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	j.Artworks = []job.Artwork{{File: path, Page: 1}}
	return j, nil
}
