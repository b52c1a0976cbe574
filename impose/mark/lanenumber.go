package mark

import (
	"fmt"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
)

// Sizes of the capitals of lane numbers.
const (
	numberBest  = 3 * mm
	numberLeast = 1600 * um
	overshoot   = 1.05 // at most, of a round figure above and below a capital together
)

// laneNumbers prints each lane's number in the gap at the frame's start, so
// that rolls can be told apart before the waste is stripped. All lanes have
// one, or none has: a single number missing would mislead.
func (b *bench) laneNumbers(want bool) {
	if !want {
		return
	}
	firsts := make([]geometry.Box, b.layout.Across) // trim of each lane's first row
	room := b.layout.Repeat
	for _, s := range b.layout.Station {
		if f := &firsts[s.Lane-1]; f.Empty() || s.Trim.Min.Around < f.Min.Around {
			*f = s.Trim
		}
		room = min(room, s.Clip.Min.Around)
	}
	height := min(numberBest, scaled(room-2*b.clear, 1/overshoot))
	if height < numberLeast {
		b.missNumbers("no lane numbers: labels with their bleed leave %s before the first row, and they need %s; a wider gap between rows or less bleed has room", room, scaled(numberLeast, overshoot)+2*b.clear)
		return
	}
	var boxes []geometry.Box
	var items []draw.Item
	for i, first := range firsts {
		text, err := lettering.Bold().Set(fmt.Sprint(i+1), height, geometry.Turn0)
		if err != nil {
			panic("mark: a number: " + err.Error())
		}
		// Figures overshoot the height of capitals, so their outlines count.
		drawn := text.Path.Bounds()
		to := geometry.Position{Across: first.Min.Across + height/2, Around: b.clear}
		move := geometry.Size{Across: to.Across - drawn.Min.Across, Around: to.Around - drawn.Min.Around}
		box := drawn.Moved(move)
		if !b.space.free(box, b.clear) {
			b.missNumbers("no lane numbers: the one of lane %d has no room", i+1)
			return
		}
		boxes = append(boxes, box)
		items = append(items, draw.Fill{Layer: draw.Marks, Path: text.Path.Moved(move), Paint: draw.Solid(b.dark.Name)})
	}
	for i := range boxes {
		b.add(boxes[i], items[i])
	}
	b.out.Laid.Numbers = true
}

// missNumbers says that there are none: a warning, for rolls are told apart by
// them, but not where there is one lane.
func (b *bench) missNumbers(text string, args ...any) {
	list := &b.out.Warnings
	if b.layout.Across == 1 {
		list = &b.out.Notes
	}
	list.Add(CodeLaneNumbers, text, args...)
}
