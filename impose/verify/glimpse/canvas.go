package glimpse

import (
	"image"
	"image/draw"
	"math"
	"slices"

	"golang.org/x/image/vector"
)

// Place is a part of a page as it looks.
type Place struct {
	Grey    *image.Gray // in pixels of the page: 0 is black
	unknown []bool      // by pixel: something stands there that is for a renderer
}

// Known reports whether all of the place was drawn by what this package knows.
func (p *Place) Known() bool { return !slices.Contains(p.unknown, true) }

func newPlace(area image.Rectangle) *Place {
	p := &Place{image.NewGray(area), make([]bool, area.Dx()*area.Dy())}
	for i := range p.Grey.Pix {
		p.Grey.Pix[i] = 255 // paper
	}
	return p
}

func (p *Place) box() box {
	r := p.Grey.Rect
	return box{float64(r.Min.X), float64(r.Min.Y), float64(r.Max.X), float64(r.Max.Y)}
}

// paint is what is painted with.
type paint struct {
	grey  uint8
	known bool
}

// canvas is all that is looked at of a page.
type canvas struct {
	places []*Place
	raster vector.Rasterizer
	mask   image.Alpha
}

// pixels returns the pixels of a place that a box touches.
func (p *Place) pixels(b box) image.Rectangle {
	b = b.within(p.box())
	if b.x0 >= b.x1 || b.y0 >= b.y1 {
		return image.Rectangle{}
	}
	return image.Rect(int(math.Floor(b.x0)), int(math.Floor(b.y0)), int(math.Ceil(b.x1)), int(math.Ceil(b.y1))).Intersect(p.Grey.Rect)
}

// cover returns how far a path covers each pixel of an area. The mask is used again.
func (c *canvas) cover(o *outline, area image.Rectangle) *image.Alpha {
	c.raster.Reset(area.Dx(), area.Dy())
	c.raster.DrawOp = draw.Src
	x, y := float64(area.Min.X), float64(area.Min.Y)
	around := box{x, y, float64(area.Max.X), float64(area.Max.Y)}.grown(1)
	whole := o.bounds.within(around) == o.bounds
	for _, p := range o.parts {
		if !whole {
			p = p.cut(around)
		}
		if len(p) < 3 {
			continue
		}
		c.raster.MoveTo(float32(p[0].x-x), float32(p[0].y-y))
		for _, q := range p[1:] {
			c.raster.LineTo(float32(q.x-x), float32(q.y-y))
		}
		c.raster.ClosePath()
	}
	if n := area.Dx() * area.Dy(); cap(c.mask.Pix) < n {
		c.mask.Pix = make([]byte, n)
	} else {
		c.mask.Pix = c.mask.Pix[:n]
	}
	c.mask.Stride, c.mask.Rect = area.Dx(), image.Rectangle{Max: area.Size()}
	c.raster.Draw(&c.mask, c.mask.Rect, image.Opaque, image.Point{})
	return &c.mask
}

// each paints the pixels of places that a box touches: of says for an area how far,
// out of 255, each of its pixels is covered, and with what.
func (c *canvas) each(b box, clip *clip, of func(area image.Rectangle) func(x, y int) (uint32, paint)) {
	if clip != nil {
		b = b.within(clip.bounds)
	}
	for _, p := range c.places {
		area := p.pixels(b)
		if area.Empty() {
			continue
		}
		through, none := clip.over(c, p)
		if none {
			continue
		}
		covered := of(area)
		for y := area.Min.Y; y < area.Max.Y; y++ {
			for x := area.Min.X; x < area.Max.X; x++ {
				a, with := covered(x, y)
				at := (y-p.Grey.Rect.Min.Y)*p.Grey.Stride + x - p.Grey.Rect.Min.X
				if through != nil {
					a = a * uint32(through[at]) / 255
				}
				p.put(at, a, with)
			}
		}
	}
}

// fill paints a path.
func (c *canvas) fill(o *outline, clip *clip, with paint) {
	c.each(o.bounds, clip, func(area image.Rectangle) func(x, y int) (uint32, paint) {
		mask := c.cover(o, area)
		return func(x, y int) (uint32, paint) {
			return uint32(mask.Pix[(y-area.Min.Y)*mask.Stride+x-area.Min.X]), with
		}
	})
}

// put paints a pixel, of which so much out of 255 is covered. What covers it all hides
// what was unknown.
func (p *Place) put(at int, a uint32, with paint) {
	switch {
	case a == 0:
	case !with.known:
		p.unknown[at] = true
	default:
		if a == 255 {
			p.unknown[at] = false
		}
		p.Grey.Pix[at] = uint8((uint32(p.Grey.Pix[at])*(255-a) + uint32(with.grey)*a + 127) / 255)
	}
}

// veil paints a box as unknown.
func (c *canvas) veil(b box, clip *clip) {
	c.each(b, clip, func(image.Rectangle) func(x, y int) (uint32, paint) {
		return func(int, int) (uint32, paint) { return 255, paint{} }
	})
}

// touched reports whether a box meets any place.
func (c *canvas) touched(b box, clip *clip) bool {
	if clip != nil {
		b = b.within(clip.bounds)
	}
	return slices.ContainsFunc(c.places, func(p *Place) bool { return b.meets(p.box()) })
}

// clip is what painting is confined to, and what that stands in itself.
type clip struct {
	outer  *clip
	path   *outline
	bounds box // of all together
	masks  map[*Place][]byte
}

func (c *clip) in(o *outline) *clip {
	bounds := o.bounds
	if c != nil {
		bounds = bounds.within(c.bounds)
	}
	return &clip{outer: c, path: o, bounds: bounds}
}

// over returns how far the pixels of a place are let through, of 255; nil for wholly. None
// says that nothing is.
func (c *clip) over(on *canvas, p *Place) (through []byte, none bool) {
	if c == nil {
		return nil, false
	}
	if !c.bounds.meets(p.box()) {
		return nil, true
	}
	if m, known := c.masks[p]; known {
		return m, false
	}
	outer, none := c.outer.over(on, p)
	if none {
		return nil, true
	}
	mask := on.cover(c.path, p.Grey.Rect).Pix
	through = slices.Clone(mask)
	for i := range outer {
		through[i] = byte(uint32(through[i]) * uint32(outer[i]) / 255)
	}
	if !slices.ContainsFunc(through, func(b byte) bool { return b != 255 }) {
		through = nil
	}
	if c.masks == nil {
		c.masks = map[*Place][]byte{}
	}
	c.masks[p] = through
	return through, false
}
