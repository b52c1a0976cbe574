package geometry

import "fmt"

// Die is a cutting tool with its grid of labels.
type Die struct {
	Number    string
	Shape     Shape
	Outline   string  // name of the contour, where the shape is an outline
	Size      Size    // of one label, as the die stands on the web
	Radius    Length  // of a rectangle's corners
	Area      float64 // mm2, of one label; 0 means as the shape says
	Lanes     int
	Rows      int    // around the cylinder, or in one stroke
	Gap       Size   // around 0 means what the repeat leaves
	Repeat    Length // circumference, or stroke of a flat tool; 0 when the cylinder or the rows say it
	Cylinder  Cylinder
	Station   StationKind
	Materials []string // made for; none means any
	Place     string
	Condition Condition
}

// Condition is the state of a die.
type Condition string

// The conditions. An empty Condition is good.
const (
	DieGood    Condition = "good"
	DieWorn    Condition = "worn"    // cuts, with a warning
	DieSharpen Condition = "sharpen" // at the grinder, or to be sent there
	DieRetired Condition = "retired"
)

// DieTolerance is how far size, radius and gaps of a die may be off and still
// be the job's. Common practice, no source.
const DieTolerance = 50 * Micrometre

// round gives the length that the tool goes around or takes in one stroke: as
// recorded, or as its rows need.
func (d *Die) round() Length {
	switch {
	case d.Cylinder.Teeth > 0:
		return d.Cylinder.Repeat()
	case d.Repeat > 0:
		return d.Repeat
	}
	return Length(d.Rows) * (d.Size.Around + d.Gap.Around)
}

// gapAround gives the real gap between rows, to the nanometre below. Only a
// full-rotary tool closes on itself, so that its repeat decides; the others
// move on by their rows.
func (d *Die) gapAround() Length {
	if d.Station == FullRotary || d.Gap.Around == 0 {
		return d.round()/Length(d.Rows) - d.Size.Around
	}
	return d.Gap.Around
}

// Advance returns the web that one turn or stroke of the tool takes.
func (d *Die) Advance() Length {
	if d.Station == FullRotary || d.Gap.Around == 0 {
		return d.round()
	}
	return Length(d.Rows) * (d.Size.Around + d.Gap.Around)
}

// free reports whether there is no tool, so that lanes and rows of 0 mean as many
// as fit, and a gap of 0 by 0 the one that the job wants.
func (d *Die) free() bool { return d.Station == Laser || d.Station == NoTool }

// gaps gives the real gaps, where the job wants so much.
func (d *Die) gaps(wanted Size) Size {
	switch {
	case !d.free():
		return Size{d.Gap.Across, d.gapAround()}
	case d.Gap == Size{}:
		return wanted
	}
	return d.Gap
}

// square reports whether neighbours may share a cut.
func (d *Die) square() bool {
	return d.Shape.named() == ShapeRectangle && d.Radius == 0
}

// cutWidth gives the width across all lanes.
func (d *Die) cutWidth() Length { return BlockWidth(d.Lanes, d.Size.Across, d.Gap.Across) }

// area gives one label's area.
func (d *Die) area() float64 {
	if d.Area > 0 {
		return d.Area
	}
	return d.Shape.Area(d.Size, d.Radius)
}

// Check returns what is wrong with the record itself, or nothing. Without a tool
// lanes and rows may be 0.
func (d *Die) Check() []Reason {
	var out []Reason
	bad := func(code, text, nearest string) { out = append(out, Reason{code, text, nearest}) }
	for _, l := range []Length{d.Size.Across, d.Size.Around, d.Gap.Across, d.Gap.Around, d.Radius, d.Repeat} {
		if l < 0 || l > LongestExtent {
			bad(CodeDieLength, fmt.Sprintf("a length of %s is impossible on a die", l), "lengths are 0mm or more")
			return out
		}
	}
	if d.Size.Across == 0 || d.Size.Around == 0 {
		bad(CodeDieSize, fmt.Sprintf("a label of %s has no area", d.Size), "both sides are longer than 0")
	}
	if box := d.Size.Area(); !(d.Area >= 0) || d.Area > box*(1+areaRounding) {
		bad(CodeDieArea, fmt.Sprintf("an area of %g mm2 is impossible in a label of %s", d.Area, d.Size),
			fmt.Sprintf("the shape has at most %g mm2; 0 means as the shape says", box))
	}
	if off := d.Size.Across - d.Size.Around; d.Shape == ShapeCircle && (off > DieTolerance || off < -DieTolerance) {
		bad(CodeDieCircle, fmt.Sprintf("a circle of %s is none", d.Size), "give the diameter twice, or call it an ellipse")
	}
	if d.Lanes < 0 || d.Rows < 0 || !d.free() && (d.Lanes == 0 || d.Rows == 0) || d.Lanes > MostStations || d.Rows > MostStations {
		bad(CodeDieCount, fmt.Sprintf("%d lanes and %d rows are no grid", d.Lanes, d.Rows), "both are at least 1")
	}
	if d.Cylinder.Teeth != 0 {
		if err := d.Cylinder.Check(); err != nil {
			out = append(out, reason(CodeDieGear, err))
		}
	}
	switch d.Station {
	case FullRotary, SemiRotary, FlatBed, Laser, NoTool:
	default:
		bad(CodeDieStation, fmt.Sprintf("%q is no kind of die station", d.Station), "the kinds are full-rotary, semi-rotary, flat-bed and laser")
	}
	if len(out) > 0 || d.free() {
		return out
	}
	if left := d.gapAround(); left < 0 {
		bad(CodeDieRepeat, fmt.Sprintf("%s of %s are longer than the repeat of %s", rowsOf(d.Rows), d.Size.Around, d.round()),
			fmt.Sprintf("the repeat takes %s", rowsOf(RowsIn(d.round(), d.Size.Around, 0))))
		return out
	} else if off := left - d.Gap.Around; d.Gap.Around > 0 && (off > DieTolerance || off < -DieTolerance) {
		bad(CodeDieGap, fmt.Sprintf("the record says a gap of %s around, the repeat of %s leaves %s", d.Gap.Around, d.round(), left),
			"correct the gap or the repeat")
	}
	if reach := d.Advance() - d.gapAround(); reach > d.round() {
		bad(CodeDieRepeat, fmt.Sprintf("the rows reach %s, the tool only %s", reach, d.round()), "correct the rows, the gap or the repeat")
	}
	return out
}
