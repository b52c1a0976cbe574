package job

import (
	"fmt"

	"quoin/geometry"
)

// ReadDies reads a die library, as YAML or, when the path ends in .csv, as CSV.
// Its faults come as one *FileError beside the dies that have none; when the
// columns themselves are not understood, there are no dies.
func ReadDies(path string) ([]Die, error) {
	data, err := load(path, maxListBytes)
	if err != nil {
		return nil, err
	}
	return ParseDies(path, data)
}

// ParseDies is ReadDies for a file that is in memory already.
func ParseDies(path string, data []byte) ([]Die, error) { return dieFile.parse(path, data) }

var dieFile = records[Die]{
	list: "dies", id: "number", table: dieKeys,
	start:  func() Die { return Die{Shape: Rectangle, Condition: Good} },
	name:   func(d *Die) string { return d.Number },
	origin: func(d *Die) *source { return &d.source },
	check:  (*Die).check,
}

var dieKeys = []field[Die]{
	{key: "number", need: true, read: func(d *Die, v value) { v.str(&d.Number) }},
	{key: "shape", read: func(d *Die, v value) { oneOf(v, &d.Shape, Rectangle, Circle, Ellipse, Outline) }},
	{key: "size", need: true, read: func(d *Die, v value) { v.size(&d.Size, positive) }},
	{key: "radius", read: func(d *Die, v value) { v.length(&d.Radius, notNegative) }},
	{key: "outline", read: func(d *Die, v value) { v.str(&d.Outline) }},
	{key: "lanes", need: true, read: func(d *Die, v value) { count(v, &d.Lanes, 1, maxPlaces) }},
	{key: "rows", need: true, read: func(d *Die, v value) { count(v, &d.Rows, 1, maxPlaces) }},
	{key: "gap", need: true, read: func(d *Die, v value) { v.size(&d.Gap, notNegative) }},
	{key: "teeth", read: func(d *Die, v value) { count(v, &d.Teeth, 1, maxTeeth) }},
	{key: "pitch", read: func(d *Die, v value) { v.gear(&d.Gear) }},
	{key: "repeat", read: func(d *Die, v value) { v.length(&d.Repeat, positive) }},
	{key: "station", need: true, read: func(d *Die, v value) {
		oneOf(v, &d.Station, FullRotary, SemiRotary, FlatBed, Laser)
	}},
	{key: "materials", read: func(d *Die, v value) { v.strs(&d.Materials) }},
	{key: "place", read: func(d *Die, v value) { v.str(&d.Place) }},
	{key: "condition", read: func(d *Die, v value) { oneOf(v, &d.Condition, Good, Worn, Sharpen, Retired) }},
}

// gridTolerance is how far a die's grid may be from the ring that its gear
// gives it; common practice, no source.
const gridTolerance = 50 * geometry.Micrometre

// check compares what several keys say, and works out the repeat.
func (d *Die) check(v value) {
	bad := func(key, text, hint string) {
		at, ok := v.source.find(key)
		if !ok {
			at = v.at
		}
		v.reader.fault(at, key, key+": "+text, hint)
	}
	before := len(v.faults)
	if v.checkGear(); len(v.faults) > before {
		return
	}
	switch {
	case d.Teeth > 0 && d.Repeat > 0:
		bad("repeat", "the teeth give it already", "keep the repeat, or teeth and pitch")
		return
	case d.Teeth > 0:
		d.Repeat = d.Gear.Repeat(d.Teeth)
	case d.Repeat == 0:
		bad("repeat", "is missing", "say teeth and pitch, or the repeat itself; for a flat tool, the length that it cuts at once")
		return
	}
	d.checkShape(bad)
	d.checkRing(bad)
}

func (d *Die) checkShape(bad func(key, text, hint string)) {
	side := min(d.Size.Across, d.Size.Around)
	switch {
	case d.Shape == Circle && d.Size.Across != d.Size.Around:
		bad("size", d.Size.String()+" is no circle", "both sides of a circle are its diameter; other ones are an ellipse")
	case d.Shape != Rectangle && d.Radius > 0:
		bad("radius", "only a rectangle has one", "")
	case 2*d.Radius > side:
		bad("radius", fmt.Sprintf("%s is more than half of %s", d.Radius, side), "")
	}
	if (d.Shape == Outline) != (d.Outline != "") {
		bad("outline", "shape and outline belong together", "a die of the shape outline names the file that holds it")
	}
}

// checkRing compares rows and gap with the repeat: around a full-rotary
// cylinder they close the ring, elsewhere they must find room.
func (d *Die) checkRing(bad func(key, text, hint string)) {
	rows := geometry.Length(d.Rows)
	if d.Station == FullRotary {
		gap := d.Repeat/rows - d.Size.Around
		if gap < 0 {
			bad("rows", fmt.Sprintf("%d of %s are longer than the repeat of %s", d.Rows, d.Size.Around, d.Repeat), "")
		} else if off := max(gap-d.Gap.Around, d.Gap.Around-gap); off > gridTolerance {
			bad("gap", fmt.Sprintf("%s around is not what %d rows of %s leave of a repeat of %s",
				d.Gap.Around, d.Rows, d.Size.Around, d.Repeat), fmt.Sprintf("they leave %s", gap))
		}
		return
	}
	if need := rows*(d.Size.Around+d.Gap.Around) - d.Gap.Around; need > d.Repeat {
		bad("rows", fmt.Sprintf("%d need %s, the repeat is %s", d.Rows, need, d.Repeat), "")
	}
}
