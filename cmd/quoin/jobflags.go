package main

import (
	"strconv"

	"github.com/spf13/pflag"

	"quoin/geometry"
	"quoin/impose/job"
)

// jobFlags are the flags that say what a job file can say. They override it.
type jobFlags struct {
	press                            string
	web, edge, targetLane, bleed     geometry.Length
	frameMax, repeat, shift, setup   geometry.Length
	label, gap, patch, eye           geometry.Size
	runWaste, overs                  geometry.Share
	gear                             geometry.Gear
	turns                            []geometry.Turn
	speed                            geometry.Length
	page, teeth, lanes, rows         int
	quantity                         int64
	eyeSide                          string
	noMarks, noTargets, trim, noSlug bool
}

func (f *jobFlags) add(fs *pflag.FlagSet) {
	fs.StringVar(&f.press, "press", "", "`file` that describes the press")
	textVar(fs, "web", "length", "full width of the web", &f.web)
	textVar(fs, "edge", "length", "unprintable edge at each side", &f.edge)
	textVar(fs, "target-lane", "length", "lane inside each edge for targets and register marks (8mm)", &f.targetLane)
	textVar(fs, "label", "size", "trim size across x around, upright (the artwork's TrimBox)", &f.label)
	textVar(fs, "gap", "size", "least gaps across x around (3.175x3.175mm)", &f.gap)
	textVar(fs, "bleed", "length", "artwork beyond the trim (1.5875mm)", &f.bleed)
	fs.Var(&funcFlag{kind: "degrees", take: f.setTurns}, "turn", "auto, 0, 90, 180 or 270 counter-clockwise (auto)")
	textVar(fs, "frame-max", "length", "longest frame; it is made as long as its rows need", &f.frameMax)
	textVar(fs, "repeat", "length", "fixed repeat; the rows are spread over it", &f.repeat)
	fs.IntVar(&f.teeth, "teeth", 0, "`teeth` of the cylinder, with --pitch")
	fs.Var(&funcFlag{kind: "pitch", take: f.setGear}, "pitch", "gear of the cylinder: 3.175mm a tooth, 32DP, or module 1mm")
	fs.IntVar(&f.lanes, "lanes", 0, "`number` of lanes (as many as fit)")
	fs.IntVar(&f.rows, "rows", 0, "`number` of rows (as many as fit)")
	textVar(fs, "shift", "length", "of the block off the web's centre, to the right", &f.shift)
	fs.Int64Var(&f.quantity, "quantity", 0, "ordered `labels`")
	fs.IntVar(&f.page, "page", 1, "`page` of the artwork")
	textVar(fs, "setup", "length", "web spent before the first good label", &f.setup)
	textVar(fs, "run-waste", "percent", "of the net web, spoiled while running", &f.runWaste)
	textVar(fs, "overs", "percent", "labels made beyond the order by intention", &f.overs)
	fs.Var(&funcFlag{kind: "speed", take: f.setSpeed}, "speed", "of the web, as 120m/min")
	textVar(fs, "eye", "size", "eye mark across x around, as 3x7mm (none)", &f.eye)
	fs.StringVar(&f.eyeSide, "eye-side", "left", "margin that the eye mark stands in, left or right")
	textVar(fs, "patch", "size", "of a colour target, across x around (5x5mm)", &f.patch)
	fs.BoolVar(&f.trim, "trim-marks", false, "add corner marks to each label")
	fs.BoolVar(&f.noMarks, "no-marks", false, "leave out register, slit and centre marks")
	fs.BoolVar(&f.noTargets, "no-targets", false, "leave out the colour targets")
	fs.BoolVar(&f.noSlug, "no-slug", false, "leave out the slug line")
}

func (f *jobFlags) setTurns(s string) (err error) {
	f.turns, err = job.ParseTurns(s)
	return err
}

func (f *jobFlags) setGear(s string) (err error) {
	f.gear, err = geometry.ParseGear(s)
	return err
}

func (f *jobFlags) setSpeed(s string) (err error) {
	f.speed, err = job.ParseSpeed(s)
	return err
}

// apply puts the flags that were given over the job.
func (f *jobFlags) apply(fs *pflag.FlagSet, j *job.Job) error {
	given := fs.Changed
	if given("press") {
		p, err := job.ReadPress(f.press)
		if err != nil {
			return err
		}
		j.Press = p
	}
	if err := f.checkSigns(given); err != nil {
		return err
	}
	setIf(given("web"), &j.WebWidth, f.web)
	setIf(given("edge"), &j.Edge, &f.edge)
	setIf(given("target-lane"), &j.TargetLane, &f.targetLane)
	setIf(given("label"), &j.Label, f.label)
	setIf(given("gap"), &j.Gap, f.gap)
	setIf(given("bleed"), &j.Bleed, f.bleed)
	setIf(given("turn"), &j.Turns, f.turns)
	setIf(given("lanes"), &j.Lanes, f.lanes)
	setIf(given("rows"), &j.Rows, f.rows)
	setIf(given("shift"), &j.Shift, f.shift)
	setIf(given("setup"), &j.Run.Setup, &f.setup)
	setIf(given("run-waste"), &j.Run.RunWaste, &f.runWaste)
	setIf(given("overs"), &j.Run.Overs, &f.overs)
	setIf(given("speed"), &j.Run.Speed, &f.speed)
	setIf(given("patch"), &j.Targets.Patch, f.patch)
	setIf(f.trim, &j.Marks.Trim, true)
	setIf(f.noTargets, &j.Targets.On, false)
	setIf(f.noSlug, &j.Marks.Slug, false)
	if f.noMarks {
		j.Marks.Register.On, j.Marks.Slit, j.Marks.Centre, j.Marks.Eye = false, false, false, nil
	}
	if err := f.applyRepeat(given, j); err != nil {
		return err
	}
	if err := f.applyEye(given, j); err != nil {
		return err
	}
	return f.applyArtwork(given, j)
}

func setIf[T any](given bool, to *T, value T) {
	if given {
		*to = value
	}
}

// checkSigns refuses negative lengths where none make sense.
func (f *jobFlags) checkSigns(given func(string) bool) error {
	for _, l := range []struct {
		name string
		ok   bool
	}{
		{"web", f.web > 0}, {"edge", f.edge >= 0}, {"target-lane", f.targetLane >= 0},
		{"label", f.label.Across > 0 && f.label.Around > 0}, {"gap", f.gap.Across >= 0 && f.gap.Around >= 0},
		{"bleed", f.bleed >= 0}, {"frame-max", f.frameMax > 0}, {"repeat", f.repeat > 0},
		{"teeth", f.teeth > 0}, {"lanes", f.lanes >= 0}, {"rows", f.rows >= 0}, {"quantity", f.quantity > 0},
		{"page", f.page > 0}, {"setup", f.setup >= 0}, {"run-waste", f.runWaste >= 0}, {"overs", f.overs >= 0},
		{"speed", f.speed > 0}, {"eye", f.eye.Across > 0 && f.eye.Around > 0}, {"patch", f.patch.Across > 0 && f.patch.Around > 0},
	} {
		if given(l.name) && !l.ok {
			return usagef("--%s is too small", "gaps, edges and bleed are 0mm or more; sizes, counts and speeds are more than 0", l.name)
		}
	}
	return nil
}

// applyRepeat lets one rule for the repeat win over the job's.
func (f *jobFlags) applyRepeat(given func(string) bool, j *job.Job) error {
	rules := 0
	for _, name := range []string{"frame-max", "repeat", "teeth"} {
		if given(name) {
			rules++
		}
	}
	const way = "give one of --frame-max L, --repeat L, or --teeth N with --pitch P"
	switch {
	case rules > 1:
		return usagef("the repeat is said more than once", way)
	case given("frame-max"):
		j.Repeat = job.Repeat{Longest: f.frameMax}
	case given("repeat"):
		j.Repeat = job.Repeat{Fixed: f.repeat}
	case given("teeth"):
		if !given("pitch") {
			return usagef("--teeth needs the gear's pitch", "add --pitch 3.175mm for 1/8 inch circular pitch")
		}
		j.Repeat = job.Repeat{Teeth: f.teeth, Gear: f.gear}
	case given("pitch"):
		return usagef("--pitch needs the number of teeth", way)
	}
	return nil
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
	if given("eye-side") {
		side := job.Side(f.eyeSide)
		if side != job.Left && side != job.Right {
			return usagef("--eye-side %s is no margin", "say left or right, seen on the printed face with the travel up", f.eyeSide)
		}
		j.Marks.Eye.Side = side
	}
	return nil
}

// applyArtwork sets what belongs to one artwork.
func (f *jobFlags) applyArtwork(given func(string) bool, j *job.Job) error {
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
