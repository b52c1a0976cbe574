package preview

import (
	"fmt"
	"image"
	"image/color"
	imagedraw "image/draw"
	"image/png"
	"io"
	"math"

	"golang.org/x/image/vector"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/ink"
)

// mostPixels bounds a picture: 400 megabytes of memory.
const mostPixels = 100_000_000

// PNG writes the picture of the frame that SVG writes, without the artworks'
// own pictures, at so many pixels an inch.
func PNG(w io.Writer, f draw.Frame, inks []ink.Ink, o Options, dpi float64) error {
	size := geometry.Size{Across: f.Size.Across + 2*o.border(f.Size), Around: f.Size.Around + 2*o.border(f.Size)}
	perNM := dpi / float64(geometry.Inch)
	wide, long := int(math.Ceil(float64(size.Across)*perNM)), int(math.Ceil(float64(size.Around)*perNM))
	if wide < 1 || long < 1 || wide*long > mostPixels {
		return fmt.Errorf("a picture of %d x %d pixels can't be made", wide, long)
	}
	p := &pixels{image.NewRGBA(image.Rect(0, 0, wide, long)), o.border(f.Size), perNM}
	if err := show(p, f, inks, o); err != nil {
		return err
	}
	return png.Encode(w, p.img)
}

// pixels fills paths with antialiased edges.
type pixels struct {
	img    *image.RGBA
	border geometry.Length
	perNM  float64 // pixels in a nanometre
}

func (p *pixels) begin(string, string)    {}
func (p *pixels) end()                    {}
func (p *pixels) picture(draw.Place) bool { return false }

func (p *pixels) at(pos geometry.Position) (x, y float64) {
	return float64(pos.Across+p.border) * p.perNM, float64(pos.Around+p.border) * p.perNM
}

func (p *pixels) fill(path draw.Path, colour string, multiply bool) {
	p.paint(p.flatten(path), colour, multiply)
}

// stroke fills a thin quadrilateral along each piece of the path. The lines of
// a frame are straight or round and thin, so that joins need no more.
func (p *pixels) stroke(path draw.Path, colour string, width geometry.Length, multiply bool) {
	half := max(float64(width)*p.perNM, 1) / 2 // never thinner than a pixel, or it fades
	var quads [][]point
	for _, line := range p.flatten(path) {
		for i := 1; i < len(line); i++ {
			a, b := line[i-1], line[i]
			length := math.Hypot(b.x-a.x, b.y-a.y)
			if length == 0 {
				continue
			}
			dx, dy := (b.y-a.y)/length*half, (a.x-b.x)/length*half
			quads = append(quads, []point{{a.x + dx, a.y + dy}, {b.x + dx, b.y + dy}, {b.x - dx, b.y - dy}, {a.x - dx, a.y - dy}})
		}
	}
	p.paint(quads, colour, multiply)
}

type point struct{ x, y float64 }

// flatten returns the path's parts as chains of points, in pixels.
func (p *pixels) flatten(path draw.Path) (chains [][]point) {
	pts := path.Points
	var chain []point
	next := func() point {
		x, y := p.at(pts[0])
		pts = pts[1:]
		return point{x, y}
	}
	for _, v := range path.Verbs {
		switch v {
		case draw.MoveTo:
			if len(chain) > 1 {
				chains = append(chains, chain)
			}
			chain = []point{next()}
		case draw.LineTo:
			chain = append(chain, next())
		case draw.CurveTo:
			a, b, c, d := chain[len(chain)-1], next(), next(), next()
			const steps = 24 // enough for curves of a few thousand pixels to look round
			for i := 1; i <= steps; i++ {
				t := float64(i) / steps
				u := 1 - t
				chain = append(chain, point{
					u*u*u*a.x + 3*u*u*t*b.x + 3*u*t*t*c.x + t*t*t*d.x,
					u*u*u*a.y + 3*u*u*t*b.y + 3*u*t*t*c.y + t*t*t*d.y,
				})
			}
		case draw.Close:
			chain = append(chain, chain[0])
		}
	}
	if len(chain) > 1 {
		chains = append(chains, chain)
	}
	return chains
}

// paint fills closed chains by the nonzero rule.
func (p *pixels) paint(chains [][]point, colour string, multiply bool) {
	var box image.Rectangle
	for _, c := range chains {
		for _, q := range c {
			box = box.Union(image.Rect(int(q.x), int(q.y), int(q.x)+1, int(q.y)+1))
		}
	}
	box = box.Inset(-1).Intersect(p.img.Bounds())
	if box.Empty() {
		return
	}
	r := vector.NewRasterizer(box.Dx(), box.Dy())
	for _, c := range chains {
		r.MoveTo(float32(c[0].x-float64(box.Min.X)), float32(c[0].y-float64(box.Min.Y)))
		for _, q := range c[1:] {
			r.LineTo(float32(q.x-float64(box.Min.X)), float32(q.y-float64(box.Min.Y)))
		}
		r.ClosePath()
	}
	rgb := parse(colour)
	if !multiply {
		r.Draw(p.img, box, image.NewUniform(rgb), image.Point{})
		return
	}
	mask := image.NewAlpha(image.Rect(0, 0, box.Dx(), box.Dy()))
	r.Draw(mask, mask.Bounds(), image.Opaque, image.Point{})
	shaded := image.NewRGBA(mask.Bounds())
	for y := range box.Dy() {
		for x := range box.Dx() {
			under := p.img.RGBAAt(box.Min.X+x, box.Min.Y+y)
			shaded.SetRGBA(x, y, color.RGBA{times(under.R, rgb.R), times(under.G, rgb.G), times(under.B, rgb.B), 255})
		}
	}
	imagedraw.DrawMask(p.img, box, shaded, image.Point{}, mask, image.Point{}, imagedraw.Over)
}

func times(a, b uint8) uint8 { return uint8(int(a) * int(b) / 255) }

// parse reads a colour that this package wrote.
func parse(s string) color.RGBA {
	c := color.RGBA{A: 255}
	fmt.Sscanf(s, "#%02x%02x%02x", &c.R, &c.G, &c.B)
	return c
}
