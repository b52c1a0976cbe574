package main

import (
	"context"
	"time"

	"github.com/spf13/pflag"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/miniature"
	"quoin/impose/night"
	"quoin/impose/night/build"
	"quoin/impose/night/plan"
	"quoin/impose/night/report"
	"quoin/impose/plate"
	"quoin/impose/queue/spread"
	"quoin/impose/sheet"
)

const gangExample = "quoin gang orders.csv --job job.yaml --dies dies.yaml --out night"

var gangVerb = verb{
	name:    "gang",
	args:    "ORDERS.csv|ORDERS.xlsx|ORDERS.yaml [FLAGS] --out DIR",
	short:   "let a night's orders share frames, and build all their runs in a folder",
	example: gangExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &gangFlags{fs: fs}
		fs.StringVar(&v.out, "out", "", "`folder` that appears with the PDFs, their summaries, the plan and the report")
		fs.BoolVarP(&v.plan, "plan-only", "n", false, "plan and write nothing; needs no artworks where sizes are given")
		fs.StringVar(&v.house, "job", "", "job `file` for what all runs share: marks, targets, ink rules, web")
		fs.StringVar(&v.name, "name", "", "what the night is called on frames and in the report (the order file's name)")
		v.job.add(fs, job.LayoutFlags, job.TermFlags)
		v.houseFile.add(fs)
		v.access.add(fs)
		wordVar(fs, &v.form.dates, "dates", "`form` of dates in the order file that may be read in two ways: d/m/y, m/d/y or y/m/d (such are refused)",
			string(job.DayFirst), string(job.MonthFirst), string(job.YearFirst))
		wordVar(fs, &v.form.mark, "decimal-mark", "in the order file, `point` or comma; the other one parts thousands (as the file shows)", string(job.DecimalPoint), string(job.DecimalComma))
		wordVar(fs, &v.form.encoding, "encoding", "`name` of the order file's, such as windows-1250 (found out)", job.Encodings()...)
		fs.StringVar(&v.form.sheet, "sheet", "", "`name` of the workbook's sheet that lists the orders (the only one)")
		v.queue.add(fs)
		fs.StringVar(&v.readyBy, "ready-by", "", "`time` that the night should be built by, as 06:00 or 2026-03-01T06:00; with --queue, it is said early if it won't be")
		choiceVar(fs, &v.lanes, "lanes", "`whole` lanes for every order, or mixed: stations, to be sorted later", "whole", "mixed")
		choiceVar(fs, &v.widths, "widths", "label widths in a run: `equal`, or mixed: lanes as wide as their labels, where no die cuts them; the slitter is then set lane by lane", "equal", "mixed")
		textVar(fs, "overs", "percent", "most labels above an order that a customer takes, where the order doesn't say (any); a last frame is printed whole", &v.overs)
		fs.BoolVar(&v.scrap, "scrap", false, "make labels above that limit too, and count them as scrap")
		fs.BoolVar(&v.noSplit, "no-split", false, "keep every order in one run")
		choiceVar(fs, &v.rolls, "rolls", "`any` length, or whole: runs as long as whole rolls, so that no lane leaves a rest", "any", "whole")
		countVar(fs, &v.mostIn, "orders-per-run", 1, "most `orders` in one run (any)")
		textVar(fs, "run-min", "length", "least net web of a run (any)", &v.leastRun)
		choiceVar(fs, &v.by, "by", "what to have the least of: `web`, minutes, or money, which it is where the press file has prices", string(night.Web), string(night.Minutes), string(night.Money))
		fs.StringArrayVar(&v.presses, "further-press", nil, "`file` of another press that runs may be printed on, by money (may be said again)")
		countVar(fs, &v.nights, "nights", 1, "`nights` that are planned at once, by money")
		fs.StringVar(&v.replan, "replan", "", "plan.json `file` of an earlier plan of the same nights, by money: what of it is printed is held fixed, and as little as it must changes")
		fs.StringVar(&v.at, "at", "", "`time` at which it is planned again, as 2026-03-02T23:30: runs that have begun by then are printed or on the press")
		fs.StringArrayVar(&v.printed, "printed", nil, "`run` of the earlier plan that is printed or on the press, as run-001 (may be said again)")
		textVar(fs, "anew-from", "amount", "change what need not change where the night then costs so much less, as 50", &v.anew)
		fs.BoolVar(&v.csv, "csv", false, "print the runs and their orders as CSV for a spreadsheet, by money")
		fs.StringVar(&v.day, "day", "", "`day` of the night, as 2026-03-01; later orders wait (all are taken)")
		countVar(fs, &v.early, "early", 0, "`days` that an order may be printed before it is due, with --day")
		fs.Uint64Var(&v.seed, "seed", 1, "`number` that the search starts from")
		fs.DurationVar(&v.time, "time", 10*time.Second, "of search on two cores, counted in steps: the same plan on every machine")
		fs.StringArrayVar(&v.without, "without", nil, "hold this `order` back for a later night; may be repeated")
		fs.StringArrayVar(&v.pins.TakenOut, "take-out", nil, "leave this `order` out of the night altogether; may be repeated")
		pinVar(fs, &v.pins.Together, "together", "`orders` that are printed in one run, as A,B; may be repeated")
		pinVar(fs, &v.pins.Apart, "apart", "`orders` of which no run holds two, as A,B; may be repeated")
		fs.BoolVar(&v.live, "live", false, "say on standard error how far the search is, and how good the plan, as lines of JSON")
		fs.BoolVar(&v.curve, "curve", false, "say what one more set-up would buy: runs against metres")
		fs.BoolVar(&v.compare, "compare", false, "say what each rule costs: lanes, splitting, overs, webs, dies")
		fs.BoolVar(&v.verify, "verify", false, "prove every PDF against its summary, those of an earlier start too")
		fs.BoolVar(&v.pixels, "pixels", false, "prove every PDF also by drawing its plates and comparing them with those of its artworks; some seconds a run")
		fs.BoolVar(&v.noVerify, "no-verify", false, "keep each PDF without proving it against its summary")
		fs.BoolVar(&v.noAlike, "no-look-alikes", false, "don't compare labels that share a run by their plates")
		choiceVar(fs, &v.paper, "paper", "of the job sheets: `a4` or letter", sheet.A4.Name, sheet.Letter.Name)
		fs.BoolVar(&v.json, "json", false, "print the plan as JSON")
		fs.BoolVar(&v.strict, "strict", false, "end with exit code 3 when runs have warnings")
		return v.run
	},
}

// gangFlags are the flags of quoin gang.
type gangFlags struct {
	fs                     *pflag.FlagSet
	job                    jobFlags
	houseFile              houseFlags
	access                 accessFlags
	form                   struct{ dates, mark, encoding, sheet string }
	out, house, name       string
	lanes, widths, rolls   string
	by, day, paper         string
	without                []string
	pins                   night.Pins
	overs                  geometry.Share
	leastRun               geometry.Length
	mostIn, early, nights  int64
	presses                []string
	replan, at             string
	printed                []string
	anew                   amountFlag
	before                 *plan.Before
	csv                    bool
	seed                   uint64
	time                   time.Duration
	plan, json, strict     bool
	live                   bool
	scrap, noSplit         bool
	curve, compare, verify bool
	noVerify, noAlike      bool
	pixels                 bool
	queue                  queueFlags
	readyBy                string
	progressed             func(stage string, done, all int) // instead of the plain progress
}

func (f *gangFlags) run(ctx context.Context, io streams, args []string) error {
	if err := f.check(args); err != nil {
		return err
	}
	rules, form, err := f.rules(args[0])
	if err != nil {
		return err
	}
	list, err := form.ReadList(args[0])
	if err != nil {
		return err
	}
	for _, w := range report.Words(list.Words) {
		io.warn("%s", w)
	}
	io.took(rules.House)
	progress := io.newProgress()
	rules.Tell, rules.Stands = progress.tell, progress.stands
	if f.live {
		live := &live{w: io.err}
		rules.Tell, rules.Stands = live.tell, live.stands
	}
	n := &build.Night{Orders: list, Rules: rules, Words: f.words(), Curve: f.curve, Compare: f.compare, Tell: io.tell}
	if n.Inputs, err = rules.Inputs(args[0], f.house); err != nil {
		return err
	}
	handed, err := f.queue.hands(ctx, io, rules.House.Name)
	if err != nil {
		return err
	}
	defer handed.close()
	if n.Before = f.before; handed != nil {
		n.Hands, rules.Search = spread.Hands{Hander: handed.Hander}, spread.Search{Hander: handed.Hander}.Spend
		stop, err := f.watchTime(ctx, io, handed, progress)
		if err != nil {
			return err
		}
		defer stop()
		if f.progressed != nil {
			rules.Tell = f.progressed
		}
	}
	if !f.plan {
		defer look(rules)()
	}
	var p *plan.Plan
	if f.plan {
		p, err = n.Plan(ctx, nil)
	} else {
		p, err = n.Build(ctx, f.out)
	}
	progress.end()
	if err != nil {
		return err
	}
	return f.report(io, p)
}

// check refuses command lines that can't be carried out as they stand.
func (f *gangFlags) check(args []string) error {
	switch {
	case len(args) == 0:
		return usagef("the order file is missing", "as in: "+gangExample)
	case len(args) > 1:
		return usagef("%s and %s are two inputs", "put all orders into one file", args[0], args[1])
	case f.out == "" && !f.plan:
		return usagef("the folder for the night is missing", "name it with --out DIR, or give -n to see the plan only")
	case f.time <= 0:
		return usagef("--time %s is too short", "give the search some time, as in 10s", f.time)
	}
	return nil
}

// look lets a night's runs look at their labels: for the pictures on their
// sheets and, where the press file knows what ink costs, for the ink. What it
// returns ends that.
func look(rules *night.Rules) func() {
	painter := &miniature.Painter{Say: func(string) {}}
	rules.Pictures = painter.Labels
	meter := &plate.Meter{Say: func(string) {}, Cache: plate.UserCache()}
	if press := rules.House.Press; press != nil && press.InkUse.Known() {
		rules.Ink = meter.Measure
	}
	rules.Plates = meter.Find
	return func() {
		painter.Close()
		meter.Close()
	}
}
