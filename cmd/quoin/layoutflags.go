package main

import (
	"path/filepath"

	"github.com/spf13/pflag"

	"quoin/geometry"
	"quoin/impose/job"
)

// layoutFlags say where labels land and how the finished roll pays out: what
// fit and impose ask alike.
type layoutFlags struct {
	press, dies                  string
	web, edge, targetLane, bleed geometry.Length
	frameMax, repeat             geometry.Length
	radius, edgeMatrix           geometry.Length
	label, gap                   geometry.Size
	gear                         geometry.Gear
	turns                        []geometry.Turn
	teeth, windings              int
	shape, outline, material     string
	winding                      geometry.Winding
	nestUpright, nestApart       bool
}

func (f *layoutFlags) add(fs *pflag.FlagSet) {
	fs.StringVar(&f.press, "press", "", "`file` that describes the press")
	fs.StringVar(&f.dies, "dies", "", "`file` with the die library, YAML or CSV")
	textVar(fs, "web", "length", "full width of the web", &f.web)
	textVar(fs, "edge", "length", "unprintable edge at each side", &f.edge)
	textVar(fs, "target-lane", "length", "lane inside each edge for targets and register marks (8mm)", &f.targetLane)
	textVar(fs, "edge-matrix", "length", "least matrix from a die's outermost cut to each edge of the web (3mm)", &f.edgeMatrix)
	textVar(fs, "label", "size", "trim size across x around, upright (the artwork's TrimBox)", &f.label)
	fs.StringVar(&f.shape, "shape", "rectangle", "of the label: rectangle, circle or ellipse")
	fs.StringVar(&f.outline, "outline", "", "`file` with the contour of the upright label, DXF or SVG; or artwork: its own die line")
	textVar(fs, "radius", "length", "of a rectangle's corners (as the die)", &f.radius)
	fs.BoolVar(&f.nestUpright, "nest-upright", false, "turn no nested label by 180 degrees against another")
	fs.BoolVar(&f.nestApart, "nest-apart", false, "let no nested label stand across the seam of two frames")
	textVar(fs, "gap", "size", "least gaps across x around (3.175x3.175mm)", &f.gap)
	textVar(fs, "bleed", "length", "artwork beyond the trim (1.5875mm)", &f.bleed)
	fs.StringVar(&f.material, "material", "", "`kind` of material, as dies and stripping rules call it")
	fs.Var(&funcFlag{kind: "degrees", take: f.setTurns}, "turn", "auto, 0, 90, 180 or 270 counter-clockwise (auto)")
	textVar(fs, "frame-max", "length", "longest frame; it is made as long as its rows need", &f.frameMax)
	textVar(fs, "repeat", "length", "fixed repeat; the rows are spread over it", &f.repeat)
	fs.IntVar(&f.teeth, "teeth", 0, "`teeth` of the cylinder, with --pitch")
	fs.Var(&funcFlag{kind: "pitch", take: f.setGear}, "pitch", "gear of the cylinder: 3.175mm a tooth, 32DP, or module 1mm")
	textVar(fs, "winding", "words", `how the finished roll pays out, as "face out, top leads"`, &f.winding)
	fs.IntVar(&f.windings, "windings", 0, "`times` that the web is wound up: 1 in line, 2 with a finishing line")
}

func (f *layoutFlags) setTurns(s string) (err error) {
	f.turns, err = job.ParseTurns(s)
	return err
}

func (f *layoutFlags) setGear(s string) (err error) {
	f.gear, err = geometry.ParseGear(s)
	return err
}

// apply puts the flags that were given over the job.
func (f *layoutFlags) apply(fs *pflag.FlagSet, j *job.Job) (err error) {
	given := fs.Changed
	if given("press") {
		if j.Press, err = job.ReadPress(f.press); err != nil {
			return err
		}
	}
	if given("dies") {
		if j.Dies, err = job.ReadDies(f.dies); err != nil {
			return err
		}
	}
	if err := f.checkSigns(given); err != nil {
		return err
	}
	setIf(given("web"), &j.WebWidth, f.web)
	setIf(given("edge"), &j.Edge, &f.edge)
	setIf(given("target-lane"), &j.TargetLane, &f.targetLane)
	setIf(given("edge-matrix"), &j.EdgeMatrix, &f.edgeMatrix)
	setIf(given("label"), &j.Label, f.label)
	setIf(given("radius"), &j.Radius, &f.radius)
	setIf(given("gap"), &j.Gap, f.gap)
	setIf(given("nest-upright"), &j.NestUpright, f.nestUpright)
	setIf(given("nest-apart"), &j.NestApart, f.nestApart)
	setIf(given("bleed"), &j.Bleed, f.bleed)
	setIf(given("material"), &j.Material.Kind, f.material)
	setIf(given("turn"), &j.Turns, f.turns)
	setIf(given("winding"), &j.Winding, &f.winding)
	setIf(given("windings"), &j.Windings, f.windings)
	if err := f.applyShape(given, j); err != nil {
		return err
	}
	return f.applyRepeat(given, j)
}

func setIf[T any](given bool, to *T, value T) {
	if given {
		*to = value
	}
}

// checkSigns refuses negative lengths where none make sense.
func (f *layoutFlags) checkSigns(given func(string) bool) error {
	return tooSmall(given, []sign{
		{"web", f.web > 0}, {"edge", f.edge >= 0}, {"target-lane", f.targetLane >= 0}, {"edge-matrix", f.edgeMatrix >= 0},
		{"label", f.label.Across > 0 && f.label.Around > 0}, {"gap", f.gap.Across >= 0 && f.gap.Around >= 0},
		{"radius", f.radius >= 0}, {"bleed", f.bleed >= 0}, {"frame-max", f.frameMax > 0}, {"repeat", f.repeat > 0},
		{"teeth", f.teeth > 0}, {"windings", f.windings > 0},
	})
}

// sign says whether a flag's value may be.
type sign struct {
	name string
	ok   bool
}

func tooSmall(given func(string) bool, signs []sign) error {
	for _, s := range signs {
		if given(s.name) && !s.ok {
			return usagef("--%s is too small", "gaps, edges and bleed are 0mm or more; sizes, counts and speeds are more than 0", s.name)
		}
	}
	return nil
}

func (f *layoutFlags) applyShape(given func(string) bool, j *job.Job) error {
	if given("outline") {
		j.Shape, j.Outline = geometry.ShapeOutline, f.outline
		if f.outline == job.ArtworkOutline {
			return nil
		}
		if rel, err := filepath.Rel(j.Dir, f.outline); err == nil && !filepath.IsAbs(f.outline) {
			j.Outline = rel // as the job file would say it
		}
		return nil
	}
	if !given("shape") {
		return nil
	}
	switch s := geometry.Shape(f.shape); s {
	case geometry.ShapeRectangle, geometry.ShapeCircle, geometry.ShapeEllipse:
		j.Shape = s
		return nil
	}
	return usagef("--shape %s is not known", "say rectangle, circle or ellipse; the label's size is the box around it", f.shape)
}

// applyRepeat lets one rule for the repeat win over the job's.
func (f *layoutFlags) applyRepeat(given func(string) bool, j *job.Job) error {
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
