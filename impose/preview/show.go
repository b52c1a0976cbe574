package preview

import (
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/ink"
)

// Options say what the picture shows beside the frame's items.
type Options struct {
	// Layout, if given, names each label's lane and row and shows the
	// unprintable edges.
	Layout *geometry.Layout
	// Dimensions adds measures around the web; they need the layout.
	Dimensions bool
	// Pictures shows artworks as they are instead of their trims: for each
	// artwork the address of a picture of its trim with Bleed on each side.
	// Only SVG can show them.
	Pictures []string
	Bleed    geometry.Length
	// Whites are pictures like those, of where white stands beneath: white itself,
	// and clear elsewhere. Empty ones are none. Pictures of colours are multiplied
	// on them, as inks are.
	Whites []string
	Film   bool // the web is a clear film, not paper
	// Inline leaves out the size on paper, for an SVG inside a page.
	Inline bool
}

// border is the wall to be seen around the web.
func (o Options) border(frame geometry.Size) geometry.Length {
	if o.Dimensions {
		lines := geometry.Length(3) // of measures
		if o.Layout != nil && o.Layout.Widths != nil {
			lines = 4
		}
		return measureCap(frame) * (3*lines + 1)
	}
	return 5 * geometry.Millimetre
}

// Colours of what is not ink.
const (
	wall    = "#dcdcd7" // around the web
	outline = "#7a8794" // labels' trims
	edge    = "#ecebe5" // the unprintable edge
)

// canvas is what a picture is drawn on. Colours are #rrggbb; multiply lets
// what is beneath shine through.
type canvas interface {
	fill(p draw.Path, colour string, multiply bool)
	stroke(p draw.Path, colour string, width geometry.Length, multiply bool)
	// picture shows an artwork's picture, and says whether it has one.
	picture(p draw.Place) bool
	// begin and end enclose what belongs together.
	begin(class, name string)
	end()
}

// show draws the frame.
func show(c canvas, f draw.Frame, inks []ink.Ink, o Options) error {
	ground := paper
	if o.Film {
		ground = film
	}
	v := &view{canvas: c, palette: inks, ground: ground, stations: map[geometry.Box]geometry.Station{}, again: map[geometry.Box]geometry.Station{}}
	web := geometry.BoxAt(geometry.Position{}, f.Size)
	c.fill(draw.Rectangle(web.Outset(o.border(f.Size))), wall, false)
	c.fill(draw.Rectangle(web), v.colour(v.ground, draw.Paint{}), false)
	var measures []draw.Item
	if l := o.Layout; l != nil {
		margin := geometry.Size{Across: l.Web.Edge, Around: f.Size.Around}
		c.fill(draw.Rectangle(geometry.BoxAt(geometry.Position{}, margin)), edge, false)
		c.fill(draw.Rectangle(geometry.BoxAt(geometry.Position{Across: f.Size.Across - margin.Across}, margin)), edge, false)
		for _, st := range l.Station {
			v.stations[st.Trim] = st
			for _, around := range l.Shifts(st) {
				v.again[st.Trim.Moved(geometry.Size{Around: around})] = st
			}
		}
		if o.Dimensions {
			measures = dimensions(l)
		}
	}
	if err := v.items(f.Items); err != nil {
		return err
	}
	if overhangs(f) {
		c.fill(ring(web.Outset(o.border(f.Size)), web), wall, false)
	}
	return v.items(measures)
}

// overhangs reports whether a label stands across the seam: what lies beyond the
// frame is then no part of it.
func overhangs(f draw.Frame) bool {
	web := geometry.BoxAt(geometry.Position{}, f.Size)
	return slices.ContainsFunc(f.Items, func(i draw.Item) bool {
		p, ok := i.(draw.Place)
		return ok && !web.Contains(p.Clip.Bounds())
	})
}

// ring returns what lies between two boxes.
func ring(outer, inner geometry.Box) draw.Path {
	p := draw.Rectangle(outer)
	p.Move(inner.Min) // the other way around, so that it is a hole
	p.Line(geometry.Position{Across: inner.Min.Across, Around: inner.Max.Around})
	p.Line(inner.Max)
	p.Line(geometry.Position{Across: inner.Max.Across, Around: inner.Min.Around})
	p.Close()
	return p
}

// items draws items in groups of one layer each.
func (v *view) items(items []draw.Item) error {
	open := draw.Layer("")
	for _, item := range whiteBeneath(items) {
		if layer := item.On(); layer != open {
			if open != "" {
				v.end()
			}
			v.begin("layer", string(layer))
			open = layer
		}
		if err := v.item(item); err != nil {
			return err
		}
	}
	if open != "" {
		v.end()
	}
	return nil
}

// view draws items on a canvas.
type view struct {
	canvas
	palette
	ground   [3]float64
	stations map[geometry.Box]geometry.Station // by trim
	again    map[geometry.Box]geometry.Station // those across the seam, at the frame's other end
}

func (v *view) item(item draw.Item) error {
	switch item := item.(type) {
	case draw.Fill:
		v.fill(item.Path, v.colour(v.ground, item.Paint), !v.covers(item.Paint))
	case draw.Text:
		f := item.Fill()
		v.fill(f.Path, v.colour(v.ground, f.Paint), !v.covers(f.Paint))
	case draw.Stroke:
		v.stroke(item.Path, v.colour(v.ground, item.Paint), item.Width, !v.covers(item.Paint))
	case draw.Place:
		return v.place(item)
	}
	return nil
}

func (v *view) place(p draw.Place) error {
	name := fmt.Sprintf("artwork %d", p.Art+1)
	if st, ok := v.stations[p.Trim]; ok {
		v.begin("station", StationID(st))
		defer v.end()
		name = fmt.Sprintf("%d / %d", st.Lane, st.Row)
	} else if st, ok := v.again[p.Trim]; ok {
		name = fmt.Sprintf("%d / %d", st.Lane, st.Row)
	}
	if v.picture(p) {
		return nil
	}
	return place(v.canvas, p, name)
}

// StationID names a station's group in the SVG.
func StationID(s geometry.Station) string { return fmt.Sprintf("station-%d-%d", s.Lane, s.Row) }

// whiteBeneath puts engine-made white where it is seen: the file paints it last
// and overprinting, the press lays it beneath the colours.
func whiteBeneath(items []draw.Item) []draw.Item {
	colour := func(i draw.Item) bool { return i.On() != draw.White }
	beneath := slices.DeleteFunc(slices.Clone(items), colour)
	if len(beneath) == 0 {
		return items
	}
	return append(beneath, slices.DeleteFunc(slices.Clone(items), func(i draw.Item) bool { return !colour(i) })...)
}
