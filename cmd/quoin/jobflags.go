package main

import (
	"github.com/spf13/pflag"

	"quoin/geometry"
	"quoin/impose/job"
)

// jobFlags are the flags that say what a job file can say. They override it.
type jobFlags struct {
	layoutFlags
	runFlags
	rollFlags
	accessFlags
	die                              string
	lanes, rows                      int
	shift                            geometry.Length
	patch, eye                       geometry.Size
	eyeSide                          string
	noMarks, noTargets, trim, noSlug bool
	cutting, nest                    bool
}

func (f *jobFlags) add(fs *pflag.FlagSet) {
	f.layoutFlags.add(fs)
	fs.StringVar(&f.die, "die", "", "`number` of the die, which then gives lanes, rows, gaps and repeat")
	fs.IntVar(&f.lanes, "lanes", 0, "`number` of lanes (as many as fit)")
	fs.IntVar(&f.rows, "rows", 0, "`number` of rows (as many as fit)")
	textVar(fs, "shift", "length", "of the block off the web's centre, to the right", &f.shift)
	fs.BoolVar(&f.nest, "nest", false, "lay shaped labels as close as their outlines allow, the gap apart")
	fs.BoolVar(&f.cutting, "cutting", false, "draw the contours of the cut as a processing step that doesn't print")
	f.runFlags.add(fs)
	f.rollFlags.add(fs)
	f.accessFlags.add(fs)
	textVar(fs, "eye", "size", "eye mark across x around, as 3x7mm (none)", &f.eye)
	fs.StringVar(&f.eyeSide, "eye-side", "left", "margin that the eye mark stands in, left or right")
	textVar(fs, "patch", "size", "of a colour target, across x around (5x5mm)", &f.patch)
	fs.BoolVar(&f.trim, "trim-marks", false, "add corner marks to each label")
	fs.BoolVar(&f.noMarks, "no-marks", false, "leave out register, slit and centre marks")
	fs.BoolVar(&f.noTargets, "no-targets", false, "leave out the colour targets")
	fs.BoolVar(&f.noSlug, "no-slug", false, "leave out the slug line")
}

// apply puts the flags that were given over the job.
func (f *jobFlags) apply(fs *pflag.FlagSet, j *job.Job) error {
	given := fs.Changed
	if err := f.layoutFlags.apply(fs, j); err != nil {
		return err
	}
	err := tooSmall(given, []sign{
		{"lanes", f.lanes >= 0}, {"rows", f.rows >= 0},
		{"eye", f.eye.Across > 0 && f.eye.Around > 0}, {"patch", f.patch.Across > 0 && f.patch.Around > 0},
	})
	if err != nil {
		return err
	}
	setIf(given("die"), &j.Die, f.die)
	setIf(given("lanes"), &j.Lanes, f.lanes)
	setIf(given("rows"), &j.Rows, f.rows)
	setIf(given("shift"), &j.Shift, f.shift)
	setIf(given("nest"), &j.Nest, f.nest)
	setIf(given("cutting"), &j.Cutting, f.cutting)
	setIf(given("patch"), &j.Targets.Patch, f.patch)
	setIf(f.trim, &j.Marks.Trim, true)
	setIf(f.noTargets, &j.Targets.On, false)
	setIf(f.noSlug, &j.Marks.Slug, false)
	if f.noMarks {
		j.Marks.Register.On, j.Marks.Slit, j.Marks.Centre, j.Marks.Eye = false, false, false, nil
	}
	if err := f.applyEye(given, j); err != nil {
		return err
	}
	if err := f.rollFlags.apply(fs, j); err != nil {
		return err
	}
	if err := f.accessFlags.apply(fs, j); err != nil {
		return err
	}
	return f.runFlags.apply(fs, j)
}

// applyEye asks for an eye mark.
func (f *jobFlags) applyEye(given func(string) bool, j *job.Job) error {
	if !given("eye") && !given("eye-side") {
		return nil
	}
	if j.Marks.Eye == nil {
		eye := job.DefaultEyeMark()
		j.Marks.Eye = &eye
	}
	setIf(given("eye"), &j.Marks.Eye.Size, f.eye)
	j.Marks.Eye.Track = max(j.Marks.Eye.Track, j.Marks.Eye.Size.Across)
	if given("eye-side") {
		side := job.Side(f.eyeSide)
		if side != job.Left && side != job.Right {
			return usagef("--eye-side %s is no margin", "say left or right, seen on the printed face with the travel up", f.eyeSide)
		}
		j.Marks.Eye.Side = side
	}
	return nil
}
