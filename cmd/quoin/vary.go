package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/prove"
	"quoin/impose/queue/spread"
	"quoin/impose/say"
	"quoin/impose/thrift"
	"quoin/impose/vary"
	"quoin/impose/wholefile"
)

const varyExample = "quoin vary job.yaml -o run.pdf --part-labels 100000"

var varyVerb = verb{
	name:    "vary",
	args:    "JOB.yaml... [FLAGS] -o OUT.pdf|DIR",
	short:   "write frames whose labels all differ, from the job's data and fields, with a ledger",
	example: varyExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &varyFlags{}
		v.add(fs)
		v.queue.add(fs)
		return v.run
	},
}

const reprintExample = "quoin reprint job.yaml --records spoiled.csv -o again.pdf"

var reprintVerb = verb{
	name:    "reprint",
	args:    "JOB.yaml --records LIST [FLAGS] -o OUT.pdf",
	short:   "write frames for spoiled labels only, by the numbers of their records or by their codes",
	example: reprintExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &varyFlags{reprint: true}
		fs.StringVar(&v.records, "records", "", "print the records that this `FILE` lists: a number or a range as 4-6 on each line, or lines of a ledger")
		fs.StringVar(&v.codes, "codes", "", "print the labels whose codes this `FILE` of an inspection camera lists: a code on each line, or CSV with a column code and perhaps a result")
		fs.StringVar(&v.again.Run, "run", "", "press `FILE` of the run, as behind its -o; where the register holds one only, it is that")
		fs.StringVar(&v.again.Reason, "reason", "", "`WHY` labels are printed again that were printed again before")
		v.add(fs)
		return v.run
	},
}

// varyFlags are the flags of quoin vary and quoin reprint.
type varyFlags struct {
	reprint    bool
	house      houseFlags
	access     accessFlags
	records    string
	codes      string
	again      vary.Reprint
	register   string
	part       int64
	out        string
	partFrames int64
	partLabels int64
	dpi        deviceDPI
	plan       bool
	noVerify   bool
	json       bool
	strict     bool
	queue      queueFlags
	handed     *handed // nil: the parts are written here
}

func (f *varyFlags) add(fs *pflag.FlagSet) {
	fs.StringVarP(&f.out, "output", "o", "", "write the PDF to this `FILE`, or the PDFs of several jobs into this folder; parts get a number behind the name, ledger and journal stand beside it")
	fs.StringVar(&f.register, "register", "", "`FILE` in which every label is entered; "+registerName+" beside the output by default; none for none")
	if !f.reprint {
		fs.Int64Var(&f.part, "part", 0, "build only this lost `part` of the run again, to the same bytes")
	}
	countVar(fs, &f.partFrames, "part-frames", 1, "begin a new file after so many frames; 500 by default, so that readers are quick in the middle of each part")
	countVar(fs, &f.partLabels, "part-labels", 1, "begin a new file before it holds more than so many labels")
	f.house.add(fs)
	f.access.add(fs)
	textVar(fs, "device-dpi", "dpi", "pixels of the device that modules are rounded to, as 1200 or 1600x800; the press's resolution by default", &f.dpi)
	fs.BoolVarP(&f.plan, "plan-only", "n", false, "check all records and write nothing")
	fs.BoolVar(&f.noVerify, "no-verify", false, "keep the files without proving them against the register and reading symbols back")
	fs.BoolVar(&f.json, "json", false, "print the report as JSON")
	fs.BoolVar(&f.strict, "strict", false, "end with exit code 3 when there are warnings")
}

func (f *varyFlags) run(ctx context.Context, io streams, args []string) error {
	if args = matching(args); len(args) > 1 && !f.reprint {
		return f.batch(ctx, io, args)
	}
	if err := f.check(args); err != nil {
		return err
	}
	progress := io.newProgress()
	defer progress.end()
	report, err := f.one(ctx, io, args[0], progress)
	if err != nil {
		return err
	}
	progress.end()
	if err := f.print(io.out, *report); err != nil {
		return fmt.Errorf("printing the report: %w", err)
	}
	io.warnings(report.Warnings)
	if report.Proof != nil && len(report.Proof.Differences) > 0 {
		return shown(prove.Failure(report.Proof, f.out))
	}
	return strictly(f.strict, len(report.Warnings))
}

// read reads a job with its house, and what the flags say of it.
func (f *varyFlags) read(io streams, file string) (*job.Job, error) {
	houses, err := f.house.find(filepath.Dir(file))
	if err != nil {
		return nil, err
	}
	j, err := houses.ReadJob(file, nil)
	if err != nil {
		return nil, err
	}
	if err := f.access.apply(j); err != nil {
		return nil, err
	}
	if f.dpi[0] != 0 && j.Data != nil {
		j.Data.DPI, j.Data.Around = f.dpi[0], f.dpi[1]
	}
	if err := j.Validate(); err != nil {
		return nil, err
	}
	if err := f.refuse(j.Files()); err != nil {
		return nil, err
	}
	io.took(j)
	return j, nil
}

// one writes the run of a job, or checks it only, and proves it.
func (f *varyFlags) one(ctx context.Context, io streams, file string, progress *progress) (*varyReport, error) {
	j, err := f.read(io, file)
	if err != nil {
		return nil, err
	}
	thrift.Release()
	say := io.saying(progress)
	say("reading the artwork")
	im, err := impose.Open(ctx, j)
	if err != nil {
		return nil, err
	}
	defer im.Close()
	say("checking the records")
	run, count, warnings, err := f.prepare(ctx, im)
	if err != nil {
		return nil, err
	}
	defer run.Close()
	poor, err := contrast(ctx, im, run, say)
	if err != nil {
		return nil, err
	}
	warnings = append(warnings, poor...)
	if f.queue.queue != "" && !f.plan {
		if f.handed, err = f.queue.hands(ctx, io, filepath.Base(f.out)); err != nil {
			return nil, err
		}
		defer f.handed.close()
	}
	report := &varyReport{House: impose.TookFrom(j, impose.Written{})}
	var parts []vary.Part
	if f.plan {
		if err := f.checkRegister(ctx, im, run); err != nil {
			return nil, err
		}
	} else {
		thrift.Release()
		say("writing " + f.out)
		if parts, err = f.write(ctx, im, run, progress); err != nil {
			return nil, err
		}
		thrift.Release()
		if report.Proof, err = f.prove(ctx, parts, say); err != nil {
			return nil, err
		}
	}
	report.Report, report.Warnings, report.job = run.Report(count, parts), warnings, j.Name
	return report, nil
}

func (f *varyFlags) check(args []string) error {
	example := "as in: " + varyExample
	if f.reprint {
		example = "as in: " + reprintExample
	}
	switch {
	case len(args) != 1:
		return usagef("one job file is needed; %s", example, say.CountOf(len(args), "file was named", "files were named"))
	case f.reprint && f.records == "" && f.codes == "":
		return usagef("the list of records is missing", example)
	case f.out == "" && !f.plan:
		return usagef("the output file is missing", "name it with -o OUT.pdf, or give -n to check the records only")
	case !f.plan && strings.ToLower(filepath.Ext(f.out)) != ".pdf":
		return usagef("%s is no name of a PDF", "let it end in .pdf: ledger and journal get its name too", f.out)
	}
	return f.refuse(append(args, f.records))
}

// refuse looks at what is to be written before more is read than these inputs.
func (f *varyFlags) refuse(inputs []string) error {
	if f.plan {
		return nil
	}
	return wholefile.Refuse(vary.Files(f.out), inputs)
}

// prepare checks all records; count is how many there are in the job.
func (f *varyFlags) prepare(ctx context.Context, im *impose.Imposition) (run *vary.Run, count int64, warnings say.Notes, err error) {
	records, err := im.Records()
	if err != nil {
		return nil, 0, nil, err
	}
	var only []int64
	if f.reprint {
		if err := records.Scan(ctx, nil); err != nil { // for their number
			return nil, 0, nil, err
		}
		if f.codes != "" {
			only, err = vary.ReadCodes(f.codes, f.book(), f.again.Run)
		} else {
			only, err = vary.ReadNumbers(f.records, records.Count)
		}
		if err != nil {
			return nil, 0, nil, err
		}
	}
	run, warnings, err = im.Vary(ctx, records, only)
	return run, records.Count, warnings, err
}

func (f *varyFlags) write(ctx context.Context, im *impose.Imposition, run *vary.Run, shown *progress) ([]vary.Part, error) {
	out, err := f.output(im, run)
	if err != nil {
		return nil, err
	}
	out.Progress = func(done, all int64) {
		if done%100 == 0 || done == all {
			shown.tell("frames", int(done), int(all))
		}
	}
	return run.Write(ctx, out)
}

// checkRegister refuses what the register would, without writing.
func (f *varyFlags) checkRegister(ctx context.Context, im *impose.Imposition, run *vary.Run) error {
	out, err := f.output(im, run)
	if err != nil {
		return err
	}
	return run.Check(ctx, out)
}

// output says where the run is written and entered.
func (f *varyFlags) output(im *impose.Imposition, run *vary.Run) (out vary.Output, err error) {
	identity, err := im.Identity()
	if err != nil {
		return out, err
	}
	if beside := filepath.Join(filepath.Dir(f.again.Run), registerName); f.reprint && f.register == "none" {
		if _, err := os.Stat(beside); err == nil {
			return out, say.Refuse(say.BadFile, "leave --register none out, or name it: it may know that a label is void", "the run's register is there: %s", beside)
		}
	}
	frames := f.partFrames
	if f.partLabels > 0 {
		each := int64(len(run.Order.Lanes) * run.Order.Rows)
		if frames = f.partLabels / each; frames == 0 {
			return out, usagef("%d labels are less than the %d of one frame", "give --part-labels at least a frame", f.partLabels, each)
		}
	}
	out = vary.Output{Path: f.out, Frames: frames, Identity: identity, Register: f.book(), Again: f.part}
	if frames == 0 {
		out.Frames = run.Usual(out)
	}
	if f.reprint {
		out.Reprint = &f.again
	}
	if f.handed != nil {
		out.Elsewhere = spread.Parts(f.handed.Hander, im, identity)
	}
	return out, nil
}

// registerName is that of the register in the folder of the runs.
const registerName = "quoin.register"

// book returns the path of the register; "" for none.
func (f *varyFlags) book() string {
	switch f.register {
	case "":
		return filepath.Join(filepath.Dir(f.out), registerName)
	case "none":
		return ""
	}
	return f.register
}
