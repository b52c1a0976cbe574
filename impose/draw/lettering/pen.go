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

// scale gives a distance in 26.6 font units as a length, to the nearest
// nanometre.
func (p *pen) scale(v geometry.Length) geometry.Length {
	return divide(v*p.height, 64*p.face.capHeight)
}

// at gives a place of the glyph on the frame. Sfnt's y grows downwards, as
// Around does.
func (p *pen) at(q fixed.Point26_6) geometry.Position {
	return turned(geometry.Position{Across: p.scale(p.x + geometry.Length(q.X)), Around: p.scale(geometry.Length(q.Y))}, p.turn)
}

// control gives the control point of a cubic curve that draws the same as the
// quadratic one: two thirds of the way from an end to the quadratic's control
// point.
func (p *pen) control(end, quad fixed.Point26_6) geometry.Position {
	third := func(v geometry.Length) geometry.Length {
		return divide(v*p.height, 3*64*p.face.capHeight)
	}
	return turned(geometry.Position{
		Across: third(3*p.x + geometry.Length(end.X+2*quad.X)),
		Around: third(geometry.Length(end.Y + 2*quad.Y)),
	}, p.turn)
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

// turned gives p turned counter-clockwise about the origin, seen with the
// travel pointing up.
func turned(p geometry.Position, t geometry.Turn) geometry.Position {
	switch t % 4 {
	case geometry.Turn90:
		return geometry.Position{Across: p.Around, Around: -p.Across}
	case geometry.Turn180:
		return geometry.Position{Across: -p.Across, Around: -p.Around}
	case geometry.Turn270:
		return geometry.Position{Across: -p.Around, Around: p.Across}
	}
	return p
}

// divide rounds to the nearest whole number, halves away from zero. Products
// stay inside 64 bits: a line of a thousand ems with capitals of a centimetre
// is 1.3e8 x 1e7.
func divide(a, b geometry.Length) geometry.Length {
	if a < 0 {
		return -((-a + b/2) / b)
	}
	return (a + b/2) / b
}
