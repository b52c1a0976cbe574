package main

import (
	"strconv"

	"github.com/spf13/pflag"

	"quoin/geometry"
	"quoin/impose/job"
)

// runFlags say what is ordered and what the press adds to it.
type runFlags struct {
	quantity        int64
	page            int
	setup, speed    geometry.Length
	runWaste, overs geometry.Share
}

func (f *runFlags) add(fs *pflag.FlagSet) {
	fs.Int64Var(&f.quantity, "quantity", 0, "ordered `labels`")
	fs.IntVar(&f.page, "page", 1, "`page` of the artwork")
	textVar(fs, "overs", "percent", "labels made beyond the order by intention", &f.overs)
	f.addPress(fs)
}

// addPress adds what the press asks of every run.
func (f *runFlags) addPress(fs *pflag.FlagSet) {
	textVar(fs, "setup", "length", "web spent before the first good label", &f.setup)
	textVar(fs, "run-waste", "percent", "of the net web, spoiled while running", &f.runWaste)
	fs.Var(&funcFlag{kind: "speed", take: f.setSpeed}, "speed", "of the web, as 120m/min")
}

func (f *runFlags) setSpeed(s string) (err error) {
	f.speed, err = job.ParseSpeed(s)
	return err
}

// apply puts the flags that were given over the job.
func (f *runFlags) apply(fs *pflag.FlagSet, j *job.Job) error {
	given := fs.Changed
	err := tooSmall(given, []sign{
		{"quantity", f.quantity > 0}, {"page", f.page > 0}, {"setup", f.setup >= 0},
		{"run-waste", f.runWaste >= 0}, {"overs", f.overs >= 0}, {"speed", f.speed > 0},
	})
	if err != nil {
		return err
	}
	setIf(given("setup"), &j.Run.Setup, &f.setup)
	setIf(given("run-waste"), &j.Run.RunWaste, &f.runWaste)
	setIf(given("overs"), &j.Run.Overs, &f.overs)
	setIf(given("speed"), &j.Run.Speed, &f.speed)
	for _, name := range []string{"quantity", "page"} {
		if given(name) && len(j.Artworks) != 1 {
			return usagef("--%s can't stand over a job of "+strconv.Itoa(len(j.Artworks))+" artworks", "change it in the job file", name)
		}
	}
	if len(j.Artworks) == 1 {
		setIf(given("quantity"), &j.Artworks[0].Quantity, f.quantity)
		setIf(given("page"), &j.Artworks[0].Page, f.page)
	}
	return nil
}
