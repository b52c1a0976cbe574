package main

import (
	"github.com/spf13/pflag"

	"quoin/geometry"
	"quoin/impose/job"
)

// rollFlags say what one finished roll may be.
type rollFlags struct {
	labels        int64
	core, largest geometry.Length
	caliper       geometry.Length
	splices       bool
}

func (f *rollFlags) add(fs *pflag.FlagSet) {
	fs.Int64Var(&f.labels, "labels-per-roll", 0, "`labels` on a finished roll")
	textVar(fs, "core", "length", "outer diameter of the core, bore and twice the wall", &f.core)
	textVar(fs, "roll-max", "length", "largest outside diameter of a finished roll", &f.largest)
	fs.Var(&funcFlag{kind: "thickness", take: f.setCaliper}, "caliper", "of liner and face together, as 150um, 6mil or 18pt")
	fs.BoolVar(&f.splices, "splices", false, "allow splices in a finished roll; the rests of lanes are joined")
}

func (f *rollFlags) setCaliper(s string) (err error) {
	f.caliper, err = geometry.ParseThickness(s)
	return err
}

// apply puts the flags that were given over the job.
func (f *rollFlags) apply(fs *pflag.FlagSet, j *job.Job) error {
	given := fs.Changed
	err := tooSmall(given, []sign{
		{"labels-per-roll", f.labels > 0}, {"core", f.core > 0}, {"roll-max", f.largest > 0}, {"caliper", f.caliper > 0},
	})
	setIf(given("labels-per-roll"), &j.Roll.Labels, f.labels)
	for i := range j.Artworks {
		setIf(given("labels-per-roll"), &j.Artworks[i].LabelsPerRoll, 0) // the flag is for all
	}
	setIf(given("core"), &j.Roll.Core, f.core)
	setIf(given("roll-max"), &j.Roll.MaxDiameter, f.largest)
	setIf(given("caliper"), &j.Material.Caliper, f.caliper)
	setIf(given("splices"), &j.Roll.Splices, &f.splices)
	return err
}
