package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/folder"
	"quoin/impose/sheet"
)

const gangExample = "quoin gang orders.csv --job job.yaml --dies dies.yaml --out night"

var gangVerb = verb{
	name:    "gang",
	args:    "ORDERS.csv|ORDERS.yaml [FLAGS] --out DIR",
	short:   "let a night's orders share frames, and build all their runs in a folder",
	example: gangExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &gangFlags{fs: fs}
		fs.StringVar(&v.out, "out", "", "`folder` that appears with the PDFs, their summaries, the plan and the report")
		fs.BoolVarP(&v.plan, "plan-only", "n", false, "plan and write nothing; needs no artworks where sizes are given")
		fs.StringVar(&v.house, "job", "", "job `file` for what all runs share: marks, targets, ink rules, web")
		fs.StringVar(&v.name, "name", "", "what the night is called on frames and in the report (the order file's name)")
		v.layout.add(fs)
		v.terms.addPress(fs)
		fs.StringVar(&v.lanes, "lanes", "whole", "`whole` lanes for every order, or mixed: stations, to be sorted later")
		textVar(fs, "overs", "percent", "most labels above an order that a customer takes, where the order doesn't say (any)", &v.overs)
		fs.BoolVar(&v.scrap, "scrap", false, "make labels above that limit too, and count them as scrap")
		fs.BoolVar(&v.noSplit, "no-split", false, "keep every order in one run")
		fs.IntVar(&v.mostIn, "orders-per-run", 0, "most `orders` in one run (any)")
		textVar(fs, "run-min", "length", "least net web of a run (any)", &v.leastRun)
		fs.StringVar(&v.by, "by", string(night.Web), "what to have the least of: `web` or minutes")
		fs.StringVar(&v.day, "day", "", "`day` of the night, as 2026-03-01; later orders wait (all are taken)")
		fs.IntVar(&v.early, "early", 0, "`days` that an order may be printed before it is due, with --day")
		fs.Uint64Var(&v.seed, "seed", 1, "`number` that the search starts from")
		fs.DurationVar(&v.time, "time", 10*time.Second, "of search on two cores, counted in steps: the same plan on every machine")
		fs.BoolVar(&v.curve, "curve", false, "say what one more set-up would buy: runs against metres")
		fs.BoolVar(&v.compare, "compare", false, "say what each rule costs: lanes, splitting, overs, webs, dies")
		fs.BoolVar(&v.verify, "verify", false, "prove every PDF against its summary before it is kept")
		fs.StringVar(&v.paper, "paper", sheet.A4.Name, "of the job sheets: `a4` or letter")
		fs.BoolVar(&v.json, "json", false, "print the plan as JSON")
		fs.BoolVar(&v.strict, "strict", false, "end with exit code 3 when runs have warnings")
		return v.run
	},
}

// gangFlags are the flags of quoin gang.
type gangFlags struct {
	fs                     *pflag.FlagSet
	layout                 layoutFlags
	terms                  runFlags
	out, house, name       string
	lanes, by, day, paper  string
	overs                  geometry.Share
	leastRun               geometry.Length
	mostIn, early          int
	seed                   uint64
	time                   time.Duration
	plan, json, strict     bool
	scrap, noSplit         bool
	curve, compare, verify bool
}

func (f *gangFlags) run(ctx context.Context, io streams, args []string) error {
	if err := f.check(args); err != nil {
		return err
	}
	rules, err := f.rules(args[0])
	if err != nil {
		return err
	}
	orders, bad, err := readOrders(args[0])
	if err != nil {
		return err
	}
	progress := io.newProgress()
	rules.Tell = progress.tell
	n := &gangNight{flags: f, rules: rules, orders: orders, bad: bad}
	if n.inputs, err = f.inputs(args[0], rules.House); err != nil {
		return err
	}
	var plan *night.Plan
	if f.plan {
		plan, err = n.planned(ctx, nil)
	} else {
		plan, err = n.built(ctx, io)
	}
	progress.end()
	if err != nil {
		return err
	}
	return f.report(io, plan)
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
	case f.lanes != "whole" && f.lanes != "mixed":
		return usagef("--lanes %s is not known", "say whole, or mixed for stations that are sorted later", f.lanes)
	case f.by != string(night.Web) && f.by != string(night.Minutes):
		return usagef("--by %s is not known", "say web or minutes", f.by)
	case f.time <= 0:
		return usagef("--time %s is too short", "give the search some time, as in 10s", f.time)
	case f.early != 0 && f.day == "":
		return usagef("--early needs the day of the night", "add --day, as in --day 2026-03-01")
	}
	return tooSmall(f.fs.Changed, []sign{
		{"overs", f.overs >= 0}, {"orders-per-run", f.mostIn >= 0}, {"run-min", f.leastRun >= 0}, {"early", f.early >= 0},
	})
}

// rules gives what the planner is told.
func (f *gangFlags) rules(orders string) (*night.Rules, error) {
	house := job.New()
	if f.house != "" {
		var err error
		if house, err = readJob(f.house); err != nil {
			return nil, err
		}
	}
	house.Name = strings.TrimSuffix(filepath.Base(orders), filepath.Ext(orders))
	setIf(f.name != "", &house.Name, f.name)
	if err := f.layout.apply(f.fs, house); err != nil {
		return nil, err
	}
	if err := f.terms.apply(f.fs, house); err != nil {
		return nil, err
	}
	switch {
	case house.Nest:
		return nil, usagef("nested labels can't share a run", "leave nest out of the job file: gang runs lay straight lanes")
	case house.Marks.Eye != nil && !house.TargetLaneGiven():
		return nil, usagef("the eye mark needs a target lane of a known width", "say --target-lane, wide enough for the mark's track")
	}
	// Orders' artworks lie beside the order file, the job's own files beside it.
	for _, file := range []*string{&house.Output.Profile, &house.Outline} {
		if *file != "" {
			*file = house.Path(*file)
		}
	}
	house.Dir = ""
	house.Run.Overs = nil // here it is a limit, not an intention
	if house.Press == nil {
		house.Press = night.CommonPress()
	}
	if house.WebWidth == 0 {
		for _, w := range house.Webs() {
			house.WebWidth = max(house.WebWidth, w.Width)
		}
	}
	whole := *house
	whole.Artworks = []job.Artwork{{File: orders, Page: 1, Quantity: 1}}
	if err := whole.Validate(); err != nil {
		return nil, err
	}
	paper, err := sheet.ParsePaper(f.paper)
	if err != nil {
		return nil, usagef("%v", "the job sheets are for an office printer", err)
	}
	r := &night.Rules{
		House: house, Mixed: f.lanes == "mixed", Scrap: f.scrap, NoSplit: f.noSplit, MostIn: f.mostIn,
		LeastRun: f.leastRun, By: night.Measure(f.by), Early: f.early, Seed: f.seed, Time: f.time, PlanOnly: f.plan, Verify: f.verify, Paper: paper,
	}
	if f.fs.Changed("overs") {
		r.Overs = &f.overs
	}
	if f.day != "" {
		day, err := time.Parse(time.DateOnly, f.day)
		if err != nil {
			return nil, usagef("--day %s is no day", "write year, month and day, as in 2026-03-01", f.day)
		}
		r.Day = day
	}
	return r, nil
}

// readOrders reads the order file. Orders with faults come back as notes; only
// a file that can't be understood at all is an error.
func readOrders(path string) ([]job.Order, []night.Note, error) {
	orders, err := job.ReadOrders(path)
	if err == nil {
		return orders, nil, nil
	}
	bad, understood := night.Faults(err)
	if !understood || len(orders) == 0 {
		return nil, nil, err
	}
	return orders, bad, nil
}

// inputs lists the files that the night is made from, beside the artworks.
func (f *gangFlags) inputs(orders string, house *job.Job) ([]impose.FilePart, error) {
	var out []impose.FilePart
	var failed error
	add := func(role, path string) {
		if path == "" {
			return
		}
		in, err := night.Input(role, path)
		failed = errors.Join(failed, err)
		out = append(out, in)
	}
	add("orders", orders)
	add("job", f.house)
	add("press", house.Press.At("name").Path)
	if d := house.Dies; d != nil && len(d.Dies) > 0 {
		add("dies", d.At(0, "number").Path)
	}
	add("profile", house.Output.Profile)
	add("outline", house.Outline)
	return out, failed
}

// words gives the flags that a night depends on.
func (f *gangFlags) words() []string {
	words := []string{versionText()}
	f.fs.VisitAll(func(flag *pflag.Flag) {
		switch flag.Name {
		case "out", "json", "strict", "plan-only":
		default:
			words = append(words, flag.Name+"="+flag.Value.String())
		}
	})
	return words
}

// report prints the plan and what was left out.
func (f *gangFlags) report(io streams, plan *night.Plan) error {
	var err error
	if f.json {
		err = printJSON(io.out, plan)
	} else {
		err = plan.Text(io.out)
	}
	if err != nil {
		return fmt.Errorf("printing the plan: %w", err)
	}
	for _, n := range plan.Unplanned {
		io.warn("order %s is left out: %s", n.Order, n.Text)
	}
	warnings := 0
	for _, run := range plan.Runs {
		for _, w := range run.Warnings {
			io.warn("%s: %s", run.Name, w.Text)
			warnings++
		}
	}
	switch left := plan.LeftOut(); {
	case left > 0:
		return errLeftOut(left)
	case f.strict && warnings > 0:
		return errStrict
	}
	return nil
}

// gangNight is one night on its way.
type gangNight struct {
	flags  *gangFlags
	rules  *night.Rules
	orders []job.Order
	bad    []night.Note
	inputs []impose.FilePart
}

// planned plans the night, in the folder where there is one.
func (n *gangNight) planned(ctx context.Context, f *folder.Folder) (*night.Plan, error) {
	plan, err := night.Make(ctx, n.orders, n.rules, f)
	if err != nil {
		return nil, err
	}
	plan.LeaveOut(n.bad)
	plan.Inputs = n.inputs
	if n.flags.curve {
		if err := plan.Curves(ctx); err != nil {
			return nil, err
		}
	}
	if n.flags.compare {
		if err := plan.Compared(ctx, n.orders); err != nil {
			return nil, err
		}
	}
	return plan, nil
}

// built plans the night, imposes its runs and makes the folder appear. One that
// is there already is only told of again.
func (n *gangNight) built(ctx context.Context, io streams) (*night.Plan, error) {
	key, err := night.Key(ctx, n.inputs, n.orders, n.flags.words())
	if err != nil {
		return nil, err
	}
	f, err := folder.Open(n.flags.out, key)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if f.Done() {
		io.tell("%s was built already; nothing is done twice", n.flags.out)
		return readPlan(f)
	}
	if f.Restarted() {
		io.tell("an unfinished night from other orders or rules is thrown away")
	} else if f.Kept() > 0 {
		io.tell("going on with an unfinished night: %d of its files are kept", f.Kept())
	}
	plan, err := n.planned(ctx, f)
	if err != nil {
		return nil, err
	}
	if err := plan.Build(ctx, f); err != nil {
		return nil, err
	}
	if err := plan.Report(f); err != nil {
		return nil, err
	}
	return plan, f.Commit()
}

// readPlan reads the plan of a finished night.
func readPlan(f *folder.Folder) (*night.Plan, error) {
	file, err := f.Open(night.PlanFile)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	var plan night.Plan
	if err := json.NewDecoder(file).Decode(&plan); err != nil {
		return nil, fmt.Errorf("reading the plan of the finished night: %w", err)
	}
	return &plan, nil
}
