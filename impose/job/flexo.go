package job

import "quoin/geometry"

// FlexoUnit is a flexographic unit in line with the press, as for a varnish.
// Its plate is bent and prints longer than it is; the artwork of the digital
// press is never changed for it.
type FlexoUnit struct {
	For    string // what it prints; may be empty
	Plate  geometry.Plate
	Repeat geometry.Length // of its cylinder; 0: the frame's
}

var flexoKeys = []field[FlexoUnit]{
	{key: "for", read: func(f *FlexoUnit, v value) { v.str(&f.For) }},
	{key: "plate", need: true, read: func(f *FlexoUnit, v value) { v.length(&f.Plate.Thickness, positive) }},
	{key: "backing", read: func(f *FlexoUnit, v value) { v.length(&f.Plate.Backing, notNegative) }},
	{key: "repeat", read: func(f *FlexoUnit, v value) { v.length(&f.Repeat, positive) }},
}
