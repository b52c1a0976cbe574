package mark

import (
	"quoin/geometry"
	"quoin/impose/draw"
)

// eye lays the eye marks and takes their track from end to end of the frame.
func (b *bench) eye(e *Eye) {
	if e == nil {
		return
	}
	colour := b.dark
	for _, i := range b.inks {
		if i.Name == e.Ink {
			colour = i
		}
	}
	if colour.Lightness() > light {
		b.out.Warnings.Add(CodeEyeContrast, "the eye mark is in %s, which is light: on white stock a sensor may not see it", colour.Name)
	}
	at, ok := b.place(e)
	if !ok {
		b.out.Warnings.Add(CodeEyeRoom, "the %s margin has no room for an eye mark with a clear track of %s; a target lane of that width has", e.Side, e.Track)
		return
	}
	lay := b.boxes(e, at)
	track := b.track(e, at)
	b.out.Track = track
	lanes := map[int]bool{}
	for _, s := range b.layout.Station {
		if s.Clip.Overlaps(track) {
			lanes[s.Lane] = true
		}
	}
	if len(lanes) > 0 {
		b.out.Warnings.Add(CodeEyeTrack, "the eye mark's track, %s to %s across, is not clear: %s %s it",
			track.Min.Across, track.Max.Across, laneList(lanes), crosses(len(lanes)))
	}
	drawn := 0
	var last geometry.Box
	for _, box := range lay {
		if b.space.free(box, 0) && !box.Outset(b.clear).Overlaps(last) {
			b.out.Items = append(b.out.Items, draw.Fill{Layer: draw.Marks, Path: draw.Rectangle(box), Paint: draw.Solid(colour.Name)})
			b.out.Eyes = append(b.out.Eyes, box)
			drawn++
			last = box
		}
	}
	if drawn < len(lay) {
		b.out.Warnings.Add(CodeEyeRoom, "%d of %d eye marks have no room at %s across", len(lay)-drawn, len(lay), at)
	}
	b.space.take(track)
}

// place returns where the eye mark starts across.
func (b *bench) place(e *Eye) (geometry.Length, bool) {
	web, wide := b.layout.Web, e.Size.Across
	fromEdge := func(depth geometry.Length) geometry.Length {
		if e.Side == Left {
			return web.Edge + depth
		}
		return web.Width - web.Edge - depth - wide
	}
	if e.Offset != nil {
		return fromEdge(*e.Offset), true
	}
	// Best is right behind the target lane, where the track disturbs neither
	// register marks nor targets; else as far in as the labels let it.
	depth := min(web.TargetLane, b.room(e.Side)-e.Track)
	return fromEdge(depth + (e.Track-wide)/2), depth >= 0
}

// room returns the width between the unprintable edge and the first clip.
func (b *bench) room(side Side) geometry.Length {
	room := b.layout.Web.Width
	for _, s := range b.layout.Station {
		if side == Left {
			room = min(room, s.Clip.Min.Across-b.space.frame.Min.Across)
		} else {
			room = min(room, b.space.frame.Max.Across-s.Clip.Max.Across)
		}
	}
	return room
}

func (b *bench) track(e *Eye, at geometry.Length) geometry.Box {
	from := at - (e.Track-e.Size.Across)/2
	return geometry.Box{
		Min: geometry.Position{Across: from},
		Max: geometry.Position{Across: from + e.Track, Around: b.layout.Repeat},
	}
}

// boxes returns the marks, level with the leading trim of their rows.
func (b *bench) boxes(e *Eye, at geometry.Length) []geometry.Box {
	var rows []geometry.Length // by row - 1
	for _, s := range b.layout.Station {
		for len(rows) < s.Row {
			rows = append(rows, b.layout.Repeat)
		}
		rows[s.Row-1] = min(rows[s.Row-1], s.Trim.Min.Around)
	}
	if !e.PerRow {
		rows = rows[:1]
	}
	boxes := make([]geometry.Box, len(rows))
	for i, row := range rows {
		boxes[i] = geometry.BoxAt(geometry.Position{Across: at, Around: row}, e.Size)
	}
	return boxes
}
