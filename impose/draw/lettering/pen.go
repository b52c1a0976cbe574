package lettering

import (
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"quoin/geometry"
	"quoin/impose/draw"
)

// pen follows the outlines of glyphs, in font units, and writes them on the
// frame.
type pen struct {
	face   *Face
	height geometry.Length
	turn   geometry.Turn
	x      geometry.Length // start of the glyph, in 26.6 font units
	path   draw.Path
}

// scale returns a distance in 26.6 font units as a length, to the nearest
// nanometre.
func (p *pen) scale(v geometry.Length) geometry.Length {
	return v.Scaled(p.height, 64*p.face.capHeight)
}

// at returns a place of the glyph on the frame. Sfnt's y grows downwards, as
// Around does.
func (p *pen) at(q fixed.Point26_6) geometry.Position {
	return geometry.Position{Across: p.scale(p.x + geometry.Length(q.X)), Around: p.scale(geometry.Length(q.Y))}.Turned(p.turn)
}

// control returns the control point of a cubic curve that draws the same as the
// quadratic one: two thirds of the way from an end to the quadratic's control
// point.
func (p *pen) control(end, quad fixed.Point26_6) geometry.Position {
	third := func(v geometry.Length) geometry.Length {
		return v.Scaled(p.height, 3*64*p.face.capHeight)
	}
	return geometry.Position{
		Across: third(3*p.x + geometry.Length(end.X+2*quad.X)),
		Around: third(geometry.Length(end.Y + 2*quad.Y)),
	}.Turned(p.turn)
}

func (p *pen) draw(outline sfnt.Segments) {
	var at fixed.Point26_6
	open := false
	for _, s := range outline {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			if open {
				p.path.Close()
			}
			open = true
			at = s.Args[0]
			p.path.Move(p.at(at))
		case sfnt.SegmentOpLineTo:
			at = s.Args[0]
			p.path.Line(p.at(at))
		case sfnt.SegmentOpQuadTo:
			quad, end := s.Args[0], s.Args[1]
			p.path.Curve(p.control(at, quad), p.control(end, quad), p.at(end))
			at = end
		case sfnt.SegmentOpCubeTo:
			at = s.Args[2]
			p.path.Curve(p.at(s.Args[0]), p.at(s.Args[1]), p.at(at))
		}
	}
	if open {
		p.path.Close()
	}
}
