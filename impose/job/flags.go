package job

import (
	"strconv"

	"quoin/geometry"
)

// LayoutFlags say where labels land and how the finished roll pays out.
var LayoutFlags = []Flag{
	{Name: "press", Kind: "string", Usage: "`file` that describes the press", late: func(j *Job, file string) (err error) {
		j.Press, err = ReadPress(file)
		return err
	}},
	{Name: "dies", Kind: "string", Usage: "`file` with the die library, YAML or CSV", late: func(j *Job, file string) (err error) {
		j.Dies, err = ReadDies(file)
		return err
	}},
	{Name: "web", Kind: "length", Usage: "full width of the web"},
	{Name: "edge", Kind: "length", Usage: "unprintable edge at each side"},
	{Name: "target-lane", Kind: "length", Usage: "lane inside each edge for targets and register marks (8mm)"},
	{Name: "edge-matrix", Kind: "length", Usage: "least matrix from a die's outermost cut to each edge of the web (3mm)"},
	{Name: "unused-lanes", Kind: "bool", Usage: "take dies wider than the web, and print on the lanes that find room; the others cut into its edge and beside it"},
	{Name: "label", Kind: "size", Usage: "trim size across x around, upright (the artwork's TrimBox)"},
	{Name: "shape", Kind: "string", Usage: "of the label: rectangle, circle or ellipse (as the artwork's die line or the die; else a rectangle)",
		Choices: []string{"rectangle", "circle", "ellipse", "outline"}},
	{Name: "outline", Kind: "string", Usage: "`file` with the contour of the upright label, DXF or SVG; or artwork: its own die line", late: setOutline},
	{Name: "outline-layer", Kind: "string", Usage: "`layer` of that drawing that holds the cut (all that is shown)"},
	{Name: "ignore-die-line", Kind: "bool", Usage: "cut otherwise than the artworks' own die lines say"},
	{Name: "radius", Kind: "length", Usage: "of a rectangle's corners (as the die)"},
	{Name: "nest-upright", Kind: "bool", Usage: "turn no nested label by 180 degrees against another"},
	{Name: "nest-apart", Kind: "bool", Usage: "let no nested label stand across the seam of two frames"},
	{Name: "gap", Kind: "size", Usage: "least gaps across x around (3.175x3.175mm)"},
	{Name: "bleed", Kind: "length", Usage: "artwork beyond the trim (1.5875mm)"},
	{Name: "material", over: []string{"material.kind"}, Kind: "string", Usage: "`kind` of material, as dies and stripping rules call it", late: func(j *Job, kind string) error {
		j.Material.Kind = kind
		return nil
	}},
	{Name: "turn", Kind: "degrees", Usage: "auto, 0, 90, 180 or 270 counter-clockwise (auto)", Choices: []string{"auto", "0", "90", "180", "270"}},
	{Name: "frame-max", Kind: "length", Usage: "longest frame; it is made as long as its rows need"},
	{Name: "repeat", Kind: "length", Usage: "fixed repeat; the rows are spread over it"},
	{Name: "teeth", Kind: "int", Usage: "`teeth` of the cylinder, with --pitch"},
	{Name: "pitch", Kind: "pitch", Usage: "gear of the cylinder: 3.175mm a tooth, 32DP, or module 1mm"},
	{Name: "winding", Kind: "words", Usage: `how the finished roll pays out, as "face out, top leads"`},
	{Name: "windings", Kind: "int", Usage: "`times` that the web is wound up: 1 in line, 2 with a finishing line"},
}

// BlockFlags say how many labels stand on the web, and how they are cut.
var BlockFlags = []Flag{
	{Name: "die", Kind: "string", Usage: "`number` of the die, which then gives lanes, rows, gaps and repeat", late: func(j *Job, number string) error {
		j.Die = number
		return nil
	}},
	{Name: "lanes", Kind: "int", Usage: "`number` of lanes (as many as fit)"},
	{Name: "rows", Kind: "int", Usage: "`number` of rows (as many as fit)"},
	{Name: "shift", Kind: "length", Usage: "of the block off the web's centre, to the right"},
	{Name: "nest", Kind: "bool", Usage: "lay shaped labels as close as their outlines allow, the gap apart"},
	{Name: "cutting", Kind: "bool", Usage: "draw the contours of the cut as a processing step that doesn't print"},
}

// OrderFlags say what is ordered.
var OrderFlags = []Flag{
	{Name: "quantity", Kind: "int", Usage: "ordered `labels`", read: func(j *jobFile, v value) {
		j.only(v, func(a *Artwork) { count(v, &a.Quantity, 1, maxQuantity) })
	}},
	{Name: "page", Kind: "int", Usage: "`page` of the artwork", Default: "1", read: func(j *jobFile, v value) {
		j.only(v, func(a *Artwork) { count(v, &a.Page, 1, maxPages) })
	}},
	{Name: "overs", Kind: "percent", Usage: "labels made beyond the order by intention"},
}

// TermFlags say what the press asks of every run.
var TermFlags = []Flag{
	{Name: "setup", Kind: "length", Usage: "web spent before the first good label"},
	{Name: "run-waste", Kind: "percent", Usage: "of the net web, spoiled while running"},
	{Name: "speed", Kind: "speed", Usage: "of the web, as 120m/min"},
}

// RollFlags say what one finished roll may be.
var RollFlags = []Flag{
	{Name: "labels-per-roll", over: []string{"roll.labels"}, Kind: "int", Usage: "`labels` on a finished roll", read: func(j *jobFile, v value) {
		count(v, &j.Roll.Labels, 1, maxQuantity)
		for i := range j.Artworks {
			j.Artworks[i].LabelsPerRoll = 0 // the flag is for all
		}
	}},
	{Name: "core", Kind: "length", key: "roll.core", Usage: "outer diameter of the core, bore and twice the wall"},
	{Name: "roll-max", Kind: "length", key: "roll.max-diameter", Usage: "largest outside diameter of a finished roll"},
	{Name: "caliper", Kind: "thickness", key: "material.caliper", Usage: "of liner and face together, as 150um, 6mil or 18pt"},
	{Name: "splices", Kind: "bool", key: "roll.splices", Usage: "allow splices in a finished roll; the rests of lanes are joined"},
}

// MarkFlags say what stands beside the labels.
var MarkFlags = []Flag{
	{Name: "eye", over: []string{"marks.eye.size"}, Kind: "size", Usage: "eye mark across x around, as 3x7mm (none)", read: func(j *jobFile, v value) {
		eye := j.Marks.eye()
		v.size(&eye.Size, positive)
		eye.Track = max(eye.Track, eye.Size.Across)
	}},
	{Name: "eye-side", over: []string{"marks.eye.side"}, Kind: "string", Usage: "margin that the eye mark stands in, left or right", Default: "left", Choices: []string{"left", "right"},
		read: func(j *jobFile, v value) { oneOf(v, &j.Marks.eye().Side, Left, Right) }},
	{Name: "patch", over: []string{"targets.patch"}, Kind: "size", Usage: "of a colour target, across x around (5x5mm)", read: func(j *jobFile, v value) { v.size(&j.Targets.Patch, positive) }},
	{Name: "trim-marks", over: []string{"marks.trim"}, Kind: "bool", Usage: "add corner marks to each label", read: switched(func(j *Job) { j.Marks.Trim = true })},
	{Name: "no-marks", over: []string{"marks.register", "marks.slit", "marks.centre", "marks.eye"}, Kind: "bool", Usage: "leave out register, slit and centre marks", first: true, read: switched(func(j *Job) {
		j.Marks.Register.On, j.Marks.Slit, j.Marks.Centre, j.Marks.Eye = false, false, false, nil
	})},
	{Name: "no-targets", over: []string{"targets"}, Kind: "bool", Usage: "leave out the colour targets", read: switched(func(j *Job) { j.Targets.On = false })},
	{Name: "no-slug", over: []string{"marks.slug"}, Kind: "bool", Usage: "leave out the slug line", read: switched(func(j *Job) { j.Marks.Slug = false })},
}

// PlateFlags say what the plates are looked at for.
var PlateFlags = []Flag{
	{Name: "from-cut", Kind: "length", Usage: "least distance of text, bars and lines from the cut; 0mm asks for none (the press's, or 1mm)"},
	{Name: "ink-limit", Kind: "percent", key: "inks.limit", Usage: "most that the inks may add up to at a place (the press's)"},
}

// switched does something when a switch is on; off leaves the job as it is.
func switched(do func(*Job)) func(*jobFile, value) {
	return func(j *jobFile, v value) {
		on := false
		if v.flag(&on); on {
			do(j.Job)
		}
	}
}

// setOutline takes a path that is seen from the working folder.
func setOutline(j *Job, file string) error {
	j.Shape, j.Outline = geometry.ShapeOutline, file
	if file != ArtworkOutline {
		j.Outline = SeenFrom(j.Dir, file) // as the job file would say it
	}
	return nil
}

// only reads what goes for the one artwork of a job.
func (j *jobFile) only(v value, read func(*Artwork)) {
	if len(j.Artworks) != 1 {
		v.fault("can't stand over a job of "+strconv.Itoa(len(j.Artworks))+" artworks", "change it in the job file")
		return
	}
	read(&j.Artworks[0])
}

// eye returns the eye mark, which is the common one where there was none.
func (m *Marks) eye() *EyeMark {
	if m.Eye == nil {
		eye := DefaultEyeMark()
		m.Eye = &eye
	}
	return m.Eye
}
