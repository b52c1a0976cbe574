package vary

import (
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
)

// Offsets gives, for each station, where its texts stand in pixels of the device
// from the station's own nearest pixel.
func Offsets(t *testing.T, r *Run) (list [][]geometry.Position) {
	t.Helper()
	pixel := func(l geometry.Length, dpi int) geometry.Length {
		return (l*geometry.Length(dpi) + geometry.Inch/2) / geometry.Inch
	}
	s, err := newSetters(r)
	if err != nil {
		t.Fatal(err)
	}
	values, err := r.plan.Records.Lookup().Get(1)
	if err != nil {
		t.Fatal(err)
	}
	d := r.plan.Device
	for i := range r.stations {
		if err := s.frame([]int64{1}, [][]string{values}, r.stations[i:i+1]); err != nil {
			t.Fatal(err)
		}
		corner := r.stations[i].Trim.Min
		var offsets []geometry.Position
		for _, text := range s.pen.Texts {
			offsets = append(offsets, geometry.Position{
				Across: pixel(text.At.Across, d[0]) - pixel(corner.Across, d[0]), Around: pixel(text.At.Around, d[1]) - pixel(corner.Around, d[1]),
			})
		}
		list = append(list, offsets)
	}
	return list
}

// Ink gives the box that the first field's text of a record takes on its label,
// from the label's corner.
func Ink(r *Run, record int64) (geometry.Box, error) {
	values, err := r.plan.Records.Lookup().Get(record)
	if err != nil {
		return geometry.Box{}, err
	}
	s, err := newSetters(&Run{plan: r.plan, fields: r.fields[:1]})
	if err == nil {
		err = s.frame([]int64{record}, [][]string{values}, r.stations[:1])
	}
	var p draw.Path
	for _, text := range s.pen.Texts {
		p.Append(text.Fill().Path)
	}
	b := p.Bounds()
	corner := r.stations[0].Trim.Min
	return b.Moved(geometry.Size{Across: -corner.Across, Around: -corner.Around}), err
}

// Changing reports whether a change-over label stands at a station.
func Changing(o *Order, frame int64, lane, row int) bool {
	_, is := o.at(frame, lane, row)
	return is == changing
}

// HoldAtOnce lets so few codes be held in memory, until the test ends.
func HoldAtOnce(t *testing.T, codes int) {
	before := atOnce
	atOnce = codes
	t.Cleanup(func() { atOnce = before })
}
