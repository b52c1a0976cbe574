package job

import "quoin/geometry"

var finishingKeys = []field[Finishing]{
	{key: "die-cutting", read: func(f *Finishing, v value) { parse(v, &f.DieCutting, parseSpeed) }},
	{key: "other", read: func(f *Finishing, v value) { parse(v, &f.Other, parseSpeed) }},
	{key: "setup-time", read: func(f *Finishing, v value) { minutes.read(v, &f.SetupMin) }},
	{key: "windings", read: func(f *Finishing, v value) { count(v, &f.Windings, 1, maxWindings) }},
	{key: "stations", read: func(f *Finishing, v value) { readItems(v, &f.Stations, stationKeys) }},
	{key: "cylinders", read: readCylinders},
	{key: "stripping", read: func(f *Finishing, v value) { readItems(v, &f.Stripping, strippingKeys) }},
	{key: "edge-matrix", read: func(f *Finishing, v value) { v.length(&f.EdgeMatrix, notNegative) }},
	{key: "unused-lanes", read: func(f *Finishing, v value) { v.flag(&f.UnusedLanes) }},
}

var stationKeys = []field[geometry.DieStation]{
	{key: "kind", need: true, read: func(s *geometry.DieStation, v value) { readStation(v, &s.Kind) }},
	{key: "width", read: func(s *geometry.DieStation, v value) { v.length(&s.Width, positive) }},
	{key: "stroke", read: func(s *geometry.DieStation, v value) { v.length(&s.Stroke, positive) }},
	{key: "pitch", read: func(s *geometry.DieStation, v value) { v.gear(&s.Gear) }},
}

var strippingKeys = []field[geometry.Stripping]{
	{key: "material", need: true, read: func(s *geometry.Stripping, v value) { v.str(&s.Material) }},
	{key: "refuse", need: true, read: func(s *geometry.Stripping, v value) { v.length(&s.Refuse, notNegative) }},
	{key: "warn", need: true, read: func(s *geometry.Stripping, v value) { v.length(&s.Warn, notNegative) }},
}

// cylinders are those that run on one gear.
type cylinders struct {
	gear  geometry.Gear
	teeth []int
}

var cylinderKeys = []field[cylinders]{
	{key: "pitch", need: true, read: func(c *cylinders, v value) { v.gear(&c.gear) }},
	{key: "teeth", need: true, read: func(c *cylinders, v value) { counts(v, &c.teeth, 1, maxTeeth) }},
}

// readCylinders reads the cylinders of each gear, and refuses those that can't
// be.
func readCylinders(f *Finishing, v value) {
	var groups []cylinders
	readItems(v, &groups, cylinderKeys)
	for _, g := range groups {
		for _, n := range g.teeth {
			c := geometry.Cylinder{Teeth: n, Gear: g.gear}
			if err := c.Check(); g.gear != (geometry.Gear{}) && err != nil {
				v.fault(err.Error(), "")
				continue
			}
			f.Cylinders = append(f.Cylinders, c)
		}
	}
}
