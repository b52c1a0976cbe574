package mark

import (
	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/say"
)

// register lays a cross in both margins at both ends of the frame.
//
// The cross is painted in a list of inks by name, never in the colorant /All:
// that would mark white, varnish and every die line that the RIP takes for an
// ink as well (ISO 32000-2 8.6.6.4).
//
// White is not in the lines. Printed first it would show only on clear or
// metallic stock, printed last it would hide the colours' lines beneath it.
// It has a cross of its own instead, knocked out of a dark disc in the middle:
// white out of register leaves a dark or a clear rim on one side of each arm,
// whichever is printed first. Only white under colour on white stock stays
// invisible, where its register doesn't matter.
//
// Varnish among the lines would be seen nowhere. It fills a small frame of dark
// lines in a corner of the mark instead, each varnish another one: its gloss
// stands off the frame on one side where it is out of register (common practice,
// no source).
func (b *bench) register(r *Register) {
	if r == nil {
		return
	}
	var lines, whites, varnishes []string
	for _, i := range b.inks {
		switch {
		case i.Kind == ink.White:
			whites = append(whites, i.Name)
		case i.Kind == ink.Varnish:
			varnishes = append(varnishes, i.Name)
		default:
			lines = append(lines, i.Name)
		}
	}
	for _, m := range b.margins {
		across, ok := m.centred(r.Size)
		laid := 0
		for _, from := range []geometry.Length{b.clear, b.layout.Repeat - b.clear - r.Size} {
			box := geometry.BoxAt(geometry.Position{Across: across.from, Around: from}, geometry.Size{Across: r.Size, Around: r.Size})
			if ok && b.space.free(box, b.clear) {
				b.add(box, cross(box, r.Line, lines, whites, b.dark.Name)...)
				b.out.Items = append(b.out.Items, corners(box, r.Line, varnishes, b.dark.Name)...)
				laid++
			}
		}
		b.out.Laid.Registers, b.out.Laid.RegisterPlaces = b.out.Laid.Registers+laid, b.out.Laid.RegisterPlaces+2
		if laid < 2 {
			b.out.Warnings.Add(CodeRegister, "the %s margin has no room for %s of %s: its free width is %s, with a clearance of %s to labels, and the frame is %s long",
				m.side, say.Count(2-laid, "register mark"), r.Size, m.strip.length(), b.clear, b.layout.Repeat)
		}
	}
}

// cross draws one mark that fills the box: a cross, a circle of two thirds,
// and for white a disc of one third.
func cross(box geometry.Box, line geometry.Length, lines, whites []string, dark string) []draw.Item {
	arms := func(b geometry.Box) draw.Path {
		c := b.Centre()
		p := draw.Segment(geometry.Position{Across: b.Min.Across, Around: c.Around}, geometry.Position{Across: b.Max.Across, Around: c.Around})
		p.Append(draw.Segment(geometry.Position{Across: c.Across, Around: b.Min.Around}, geometry.Position{Across: c.Across, Around: b.Max.Around}))
		return p
	}
	size := box.Size().Across
	var items []draw.Item
	if len(lines) > 0 {
		path := arms(box)
		path.Append(draw.Ellipse(box.Outset(-size / 6)))
		items = append(items, draw.Stroke{Layer: draw.Marks, Path: path, Width: line, Paint: draw.Together(lines...)})
	}
	if len(whites) > 0 {
		disc := box.Outset(-size / 3)
		items = append(items,
			draw.Fill{Layer: draw.Marks, Path: draw.Ellipse(disc), Paint: draw.Solid(dark)},
			draw.Stroke{Layer: draw.Marks, Path: arms(disc.Outset(-line)), Width: 2 * line, Paint: draw.Together(whites...)})
	}
	return items
}

// corners draws the marks of varnishes into the corners of a mark's box, clear of
// its circle: a circle of a third of the side as its radius leaves 26 % of it.
func corners(box geometry.Box, line geometry.Length, varnishes []string, dark string) (items []draw.Item) {
	side := box.Size().Across * 22 / 100
	far := box.Size().Across - side
	var by [4][]string // a fifth shares the first corner
	for i, name := range varnishes {
		by[i%4] = append(by[i%4], name)
	}
	for i, names := range by {
		if len(names) == 0 {
			continue
		}
		at := box.Min.Add([4]geometry.Size{{}, {Across: far, Around: far}, {Across: far}, {Around: far}}[i])
		frame := geometry.BoxAt(at, geometry.Size{Across: side, Around: side}).Outset(-line / 2)
		gloss := draw.Together(names...)
		gloss.Overprint = true
		items = append(items,
			draw.Stroke{Layer: draw.Marks, Path: draw.Rectangle(frame), Width: line, Paint: draw.Solid(dark)},
			draw.Fill{Layer: draw.Marks, Path: draw.Rectangle(frame.Outset(-line / 2)), Paint: gloss})
	}
	return items
}
