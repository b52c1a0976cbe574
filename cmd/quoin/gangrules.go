package main

import (
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/sheet"
	"quoin/impose/summary"
)

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
	case f.widths == "mixed" && house.Dies != nil:
		return nil, usagef("--widths mixed goes with no die: a die's lanes are of one width", "leave out the dies, or --widths mixed")
	case f.widths == "mixed" && house.Lanes > 0:
		return nil, usagef("--widths mixed takes as many lanes as the band holds, not %d", "leave lanes out of the job file", house.Lanes)
	case f.widths == "mixed" && house.Shape != geometry.ShapeRectangle:
		return nil, usagef("--widths mixed is for rectangles: a label's %s has one size", "leave out shape and outline, or --widths mixed", house.Shape)
	case house.Marks.Eye != nil && !house.TargetLaneGiven():
		return nil, usagef("the eye mark needs a target lane of a known width", "say --target-lane, wide enough for the mark's track")
	}
	// Orders' artworks lie beside the order file, the job's own files beside it.
	if house.Outline == job.ArtworkOutline {
		return nil, usagef("each artwork's die line can't be the shape of a whole night", "say the shape that all orders share: --shape, --radius or a file behind --outline")
	}
	for _, file := range []*string{&house.Output.Profile, &house.Outline} {
		if *file != "" {
			path, err := filepath.Abs(house.Path(*file))
			if err != nil {
				return nil, err
			}
			*file = path
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
		House: house.Common(), Mixed: f.lanes == "mixed", Widths: f.widths == "mixed", Scrap: f.scrap, NoSplit: f.noSplit, WholeRolls: f.rolls == "whole", MostIn: f.mostIn,
		LeastRun: f.leastRun, By: night.Measure(f.by), Early: f.early, Seed: f.seed, Time: f.time, PlanOnly: f.plan, Verify: f.verify, Paper: paper,
	}
	if r.Seen = night.SeenFrom(filepath.Dir(orders)); f.out != "" && !f.plan {
		r.Seen = night.SeenFrom(f.out)
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

// inputs lists the files that the night is made from, beside the artworks.
func (f *gangFlags) inputs(orders string, rules *night.Rules) ([]summary.File, error) {
	house := rules.House
	var out []summary.File
	var failed error
	add := func(role, path string) {
		if path == "" {
			return
		}
		in, err := rules.Input(role, path)
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

// noInput are the flags that change no byte of a night's folder: where it goes,
// what is printed and how much, and whether files are proved. --time is not
// among them: a longer search may find another plan. Files are known by their
// contents, wherever they are seen from: see inputs.
var noInput = []string{"out", "plan-only", "json", "strict", "verify", "quiet", "verbose", "job", "press", "dies", "outline"}

// words gives the flags that a night depends on.
func (f *gangFlags) words() []string {
	words := []string{versionText()}
	f.fs.VisitAll(func(flag *pflag.Flag) {
		if !slices.Contains(noInput, flag.Name) {
			words = append(words, flag.Name+"="+flag.Value.String())
		}
	})
	return words
}
