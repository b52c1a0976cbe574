package job

import "quoin/geometry"

// Die is one record of a die library.
type Die struct {
	Number    string // as written: "0042" keeps its noughts
	Shape     Shape
	Size      geometry.Size // of one label, as the die stands on the web
	Radius    geometry.Length
	Outline   string // file with the outline's contour, as written
	Lanes     int
	Rows      int
	Gap       geometry.Size
	Repeat    geometry.Length // around: of the cylinder, or of a flat tool's stroke
	Teeth     int             // 0 when the die runs on no gear
	Gear      geometry.Gear
	Station   Station
	Materials []string // stocks that it is made for; none: not known
	Place     string   // where it is kept
	Condition Condition

	source source
}

// Shape is the kind of a die's outline.
type Shape string

// The shapes.
const (
	Rectangle Shape = "rectangle"
	Circle    Shape = "circle"
	Ellipse   Shape = "ellipse"
	Outline   Shape = "outline"
)

// Station is the kind of die station that a die is made for.
type Station string

// The stations.
const (
	FullRotary Station = "full-rotary"
	SemiRotary Station = "semi-rotary"
	FlatBed    Station = "flat-bed"
	Laser      Station = "laser"
)

// Condition is the state of a die.
type Condition string

// The conditions.
const (
	Good    Condition = "good"
	Worn    Condition = "worn"
	Sharpen Condition = "sharpen" // at the grinder, or to be sent there
	Retired Condition = "retired"
)

// At gives where the value of a key stands in the die file.
func (d *Die) At(key string) Position { return d.source.at(key) }
