package main

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/plan"
	"quoin/impose/sheet"
)

// rules returns what the planner is told, and how the order file is written.
func (f *gangFlags) rules(orders string) (*night.Rules, *job.OrderForm, error) {
	beside := orders
	if f.house != "" {
		beside = f.house
	}
	files, err := f.houseFile.find(filepath.Dir(beside))
	if err != nil {
		return nil, nil, err
	}
	house, err := files.New("", f.job.said())
	if f.house != "" && err == nil {
		house, err = files.ReadJob(f.house, f.job.said())
	}
	if err != nil {
		return nil, nil, err
	}
	house.Name = strings.TrimSuffix(filepath.Base(orders), filepath.Ext(orders))
	if f.name != "" {
		house.Name = f.name
	}
	if err := f.job.apply(house); err != nil {
		return nil, nil, err
	}
	if err := f.access.apply(house); err != nil {
		return nil, nil, err
	}
	paper, err := sheet.ParsePaper(f.paper)
	if err != nil {
		return nil, nil, err
	}
	r := &night.Rules{
		Without: f.without, Pins: f.pins,
		Mixed: f.lanes == "mixed", Widths: f.widths == "mixed", Scrap: f.scrap, NoSplit: f.noSplit, WholeRolls: f.rolls == "whole", MostIn: int(f.mostIn),
		LeastRun: f.leastRun, By: night.Measure(f.by), Early: int(f.early), Seed: f.seed, Time: f.time, PlanOnly: f.plan, Verify: f.verify, NoProof: f.noVerify, NoAlike: f.noAlike, Pixels: f.pixels, Paper: paper,
	}
	if !f.fs.Changed("by") && house.Press != nil && house.Press.Prices != nil && house.Press.Prices.Any() {
		r.By = night.Money
	}
	if r.Nights = int(f.nights); r.Nights > 1 && r.By != night.Money {
		return nil, nil, usagef("--nights goes with --by money", "plan the nights one by one, or write prices in the press file")
	}
	if f.csv && r.By != night.Money {
		return nil, nil, usagef("--csv goes with --by money", "use --json, or write prices in the press file")
	}
	for _, file := range f.presses {
		press, err := job.ReadPress(file)
		if err != nil {
			return nil, nil, err
		}
		r.Presses = append(r.Presses, press)
	}
	if r.NameOf = night.SeenFrom(filepath.Dir(orders)); f.out != "" && !f.plan {
		r.NameOf = night.SeenFrom(f.out)
	}
	if f.fs.Changed("overs") {
		r.Overs = &f.overs
	}
	if f.day != "" {
		day, err := time.Parse(time.DateOnly, f.day)
		if err != nil {
			return nil, nil, usagef("--day %s is no day", "write year, month and day, as in 2026-03-01", f.day)
		}
		r.Day = day
	}
	if err := r.SetHouse(house, orders); err != nil {
		return nil, nil, err
	}
	f.before, err = f.earlier(r)
	return r, f.orderForm(house), err
}

// earlier reads the earlier plan; nil where none is named.
func (f *gangFlags) earlier(r *night.Rules) (*plan.Before, error) {
	if f.replan == "" {
		return nil, nil
	}
	if r.By != night.Money {
		return nil, usagef("--replan goes with --by money", "plan the night anew, or write prices in the press file")
	}
	var at time.Time
	if f.at != "" {
		var err error
		if at, err = time.Parse("2006-01-02T15:04", f.at); err != nil {
			return nil, usagef("--at %s is no time", "write day and time, as in 2026-03-02T23:30", f.at)
		}
	}
	before, err := plan.ReadBefore(f.replan, at, f.printed)
	if err != nil {
		return nil, err
	}
	before.Anew, r.Earlier = f.anew.in(r.House.Press.Prices.Currency), f.replan
	return before, nil
}

// amountFlag is money in the currency's unit.
type amountFlag float64

// UnmarshalText reads it.
func (a *amountFlag) UnmarshalText(text []byte) error {
	v, err := strconv.ParseFloat(string(text), 64)
	if err != nil || v < 0 || v > 1e12 {
		return fmt.Errorf("%q is no amount of money (write it as 50 or 49.50)", text)
	}
	*a = amountFlag(v)
	return nil
}

// MarshalText writes it as it is read.
func (a amountFlag) MarshalText() ([]byte, error) {
	return strconv.AppendFloat(nil, float64(a), 'f', -1, 64), nil
}

// in returns it in the currency's smallest unit.
func (a amountFlag) in(currency string) int64 { return plan.Smallest(float64(a), currency) }

// orderForm puts the flags over what the job file says of the order file.
func (f *gangFlags) orderForm(house *job.Job) *job.OrderForm {
	form := house.Orders
	form.Dates = cmp.Or(job.DateForm(f.form.dates), form.Dates)
	form.DecimalMark = cmp.Or(job.DecimalMark(f.form.mark), form.DecimalMark)
	form.Encoding, form.Sheet = cmp.Or(f.form.encoding, form.Encoding), cmp.Or(f.form.sheet, form.Sheet)
	return &form
}

// noInput are the flags that change no byte of a night's folder: where it goes,
// what is printed and how much, and whether files are proved once more. --time is not
// among them: a longer search may find another plan. Files are known by their
// contents, wherever they are seen from: see night.Rules.Inputs.
var noInput = append([]string{"out", "plan-only", "json", "live", "strict", "verify", "quiet", "verbose", "password-file", "job", "press", "further-press", "dies", "outline", "csv", "replan", "house-file", "no-house"}, queueFlagNames...)

// words returns the flags that a night depends on.
func (f *gangFlags) words() []string {
	words := []string{versionText()}
	f.fs.VisitAll(func(flag *pflag.Flag) {
		if !slices.Contains(noInput, flag.Name) {
			words = append(words, flag.Name+"="+flag.Value.String())
		}
	})
	return words
}
