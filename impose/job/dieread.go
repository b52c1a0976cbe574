package job

import (
	"fmt"

	"quoin/geometry"
)

// ReadDies reads a die library, as YAML or, when the path ends in .csv, as CSV.
// Its faults come as one *FileError beside the dies that have none; when the
// columns themselves are not understood, there are no dies. With any other
// error, the library is nil.
func ReadDies(path string) (*Library, error) {
	data, err := load(path, maxListBytes)
	if err != nil {
		return nil, err
	}
	return ParseDies(path, data)
}

// ParseDies is ReadDies for a file that is in memory already.
func ParseDies(path string, data []byte) (*Library, error) {
	found, _, err := dieFile.parse(path, data, OrderForm{})
	l := &Library{
		Dies:    make([]geometry.Die, len(found)),
		path:    path,
		sources: make([]source, len(found)),
	}
	for i := range found {
		l.Dies[i], l.sources[i] = found[i].Die, found[i].source
	}
	return l, err
}

// die is a record while it is read.
type die struct {
	geometry.Die
	source source
}

var dieFile = records[die]{
	list: "dies", id: "number", table: dieKeys,
	start: func() die {
		return die{Die: geometry.Die{Shape: geometry.ShapeRectangle, Condition: geometry.DieGood}}
	},
	name:   func(d *die) string { return d.Number },
	origin: func(d *die) *source { return &d.source },
	check:  (*die).check,
}

var dieKeys = []field[die]{
	{key: "number", need: true, read: func(d *die, v value) { v.str(&d.Number) }},
	{key: "shape", read: func(d *die, v value) {
		oneOf(v, &d.Shape, geometry.ShapeRectangle, geometry.ShapeCircle, geometry.ShapeEllipse, geometry.ShapeOutline)
	}},
	{key: "size", need: true, read: func(d *die, v value) { v.size(&d.Size, positive) }},
	{key: "radius", read: func(d *die, v value) { v.length(&d.Radius, notNegative) }},
	{key: "outline", read: func(d *die, v value) { v.str(&d.Outline) }},
	{key: "lanes", read: func(d *die, v value) { count(v, &d.Lanes, 1, maxPlaces) }},
	{key: "rows", read: func(d *die, v value) { count(v, &d.Rows, 1, maxPlaces) }},
	{key: "gap", read: func(d *die, v value) { v.size(&d.Gap, notNegative) }},
	{key: "teeth", read: func(d *die, v value) { count(v, &d.Cylinder.Teeth, 1, maxTeeth) }},
	{key: "pitch", read: func(d *die, v value) { v.gear(&d.Cylinder.Gear) }},
	{key: "repeat", read: func(d *die, v value) { v.length(&d.Repeat, positive) }},
	{key: "station", need: true, read: func(d *die, v value) { readStation(v, &d.Station) }},
	{key: "materials", read: func(d *die, v value) { v.strs(&d.Materials) }},
	{key: "place", read: func(d *die, v value) { v.str(&d.Place) }},
	{key: "condition", read: func(d *die, v value) {
		oneOf(v, &d.Condition, geometry.DieGood, geometry.DieWorn, geometry.DieSharpen, geometry.DieRetired)
	}},
}

func readStation(v value, x *geometry.StationKind) {
	oneOf(v, x, geometry.FullRotary, geometry.SemiRotary, geometry.FlatBed, geometry.Laser)
}

// check compares what several keys say: first what the notation asks for, then
// what geometry knows of dies.
func (d *die) check(v value) {
	before := len(v.reader.faults)
	checkGear(v.reader, v.reader.source)
	d.checkGrid(v)
	d.checkShape(v)
	if len(v.reader.faults) > before {
		return
	}
	for _, r := range d.Die.Check() {
		v.contradiction(dieFaultKeys[r.Code], r.Text, r.Nearest)
	}
}

// dieFaultKeys names the key that each of geometry's reasons is about.
var dieFaultKeys = map[string]string{
	"die-length": "size", "die-size": "size", "die-circle": "size", "die-count": "lanes",
	"die-gear": "teeth", "die-repeat": "rows", "die-gap": "gap", "die-station": "station",
}

// contradiction faults what a key says beside others; a key that isn't said
// stands for the whole record.
func (v value) contradiction(key, what, hint string) {
	at, ok := v.reader.source.find(key)
	if !ok {
		at = v.at
	}
	v.reader.fault(at, key, what, hint)
}

// checkGrid asks for lanes, rows and gap of every tool, and for one repeat of
// those that turn.
func (d *die) checkGrid(v value) {
	_, hasGap := v.reader.source.find("gap")
	if d.Station != geometry.Laser {
		for _, k := range []struct {
			key  string
			said bool
		}{{"lanes", d.Lanes > 0}, {"rows", d.Rows > 0}, {"gap", hasGap}} {
			if !k.said {
				v.missing(k.key)
			}
		}
	}
	turns := d.Station == geometry.FullRotary || d.Station == geometry.SemiRotary
	switch {
	case d.Cylinder.Teeth > 0 && d.Repeat > 0:
		v.contradiction("repeat", "the teeth say it already", "keep the repeat, or teeth and pitch")
	case turns && d.Cylinder.Teeth == 0 && d.Repeat == 0:
		v.contradiction("repeat", missing, "say teeth and pitch of the cylinder, or its repeat")
	}
}

func (d *die) checkShape(v value) {
	if d.Radius > 0 {
		side := min(d.Size.Across, d.Size.Around)
		switch {
		case d.Shape != geometry.ShapeRectangle:
			v.contradiction("radius", "only a rectangle has one", "")
		case 2*d.Radius > side:
			v.contradiction("radius", fmt.Sprintf("%s is more than half of %s", d.Radius, side), "")
		}
	}
	if (d.Shape == geometry.ShapeOutline) != (d.Outline != "") {
		v.contradiction("outline", "shape and outline belong together", "a die of the shape outline names the file that holds it")
	}
}
