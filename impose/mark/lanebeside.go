package mark

import (
	"fmt"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
)

// beside prints the lanes' numbers in the gaps between lanes, set along the
// web, where the gaps between rows have no room: a frame of one row has half of one
// at each of its ends. A triangle behind a number points at its lane: the lane to
// its left, and at the last gap also the one to its right. All lanes have one, or
// none has.
func (b numberBench) beside() bool {
	lanes := b.lanesAcross()
	if len(lanes) < 2 {
		return false
	}
	gap := leastGap(lanes)
	height := min(numberBest, scaled(gap-2*(offTrim+numberHalo), 1/overshoot))
	if height < numberLeast {
		return false
	}
	var paths []draw.Path
	var halos []geometry.Box
	for i, lane := range lanes {
		toLeft := i < len(lanes)-1
		room := span{lanes[max(i-1, 0)].to, lane.from}
		if toLeft {
			room = span{lane.to, lanes[i+1].from}
		}
		path := pointed(lane.lane, height, toLeft)
		at, ok := b.along(path.Bounds().Size(), room, halos)
		if !ok {
			return false
		}
		box := path.Bounds()
		paths = append(paths, path.Moved(geometry.Size{Across: at.Across - box.Min.Across, Around: at.Around - box.Min.Around}))
		halos = append(halos, paths[i].Bounds().Outset(numberHalo))
	}
	for i, path := range paths {
		b.out.Items = append(b.out.Items, draw.Fill{Layer: draw.Marks, Path: draw.Rectangle(halos[i]), Paint: b.paper()})
		b.out.Matrix = append(b.out.Matrix, halos[i], path.Bounds())
		b.space.take(halos[i])
		b.add(path.Bounds(), draw.Fill{Layer: draw.Marks, Path: path, Paint: draw.Solid(b.dark.Name)})
	}
	return true
}

// leastGap returns the smallest gap between lanes.
func leastGap(lanes []laneSpan) geometry.Length {
	least := lanes[1].from - lanes[0].to
	for i := 2; i < len(lanes); i++ {
		least = min(least, lanes[i].from-lanes[i-1].to)
	}
	return least
}

// pointed is a number set along the web with a triangle behind it that points
// across, at the lane.
func pointed(number int, height geometry.Length, toLeft bool) draw.Path {
	text, err := lettering.Bold().Set(fmt.Sprint(number), height, geometry.Turn90)
	if err != nil {
		panic("mark: a number: " + err.Error())
	}
	box := text.Path.Bounds()
	apex, base := box.Min.Across, box.Min.Across+height*7/10
	if !toLeft {
		apex, base = box.Max.Across, box.Max.Across-height*7/10
	}
	from := box.Max.Around + height/4
	path := text.Path.Moved(geometry.Size{})
	path.Move(geometry.Position{Across: apex, Around: from + height/2})
	path.Line(geometry.Position{Across: base, Around: from})
	path.Line(geometry.Position{Across: base, Around: from + height})
	path.Close()
	return path
}

// along finds the place of a number in the middle of a gap, from the first
// row's leading edge on in steps of its width.
func (b numberBench) along(size geometry.Size, gap span, others []geometry.Box) (geometry.Position, bool) {
	first := b.layout.Repeat
	for _, s := range b.layout.Station {
		first = min(first, s.Trim.Min.Around)
	}
	at := geometry.Position{Across: (gap.from + gap.to - size.Across) / 2, Around: max(0, first) + size.Across/2}
	for ; at.Around+size.Around <= b.layout.Repeat; at.Around += size.Across {
		halo := geometry.BoxAt(at, size).Outset(numberHalo)
		free := b.space.matrix.free(halo, tickClear)
		for _, o := range others {
			free = free && !o.Overlaps(halo.Outset(tickClear))
		}
		if free {
			return at, true
		}
	}
	return at, false
}
