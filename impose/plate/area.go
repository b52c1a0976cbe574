package plate

import (
	"context"
	"image"
	"image/draw"
	"math"

	"golang.org/x/image/vector"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/raster"
)

// Area is how much ink stands on a part of a label, in mm² of solid.
type Area struct {
	Inks map[string]float64 // by the artwork's names; technical inks left out
	// Painted is where any ink stands that is no varnish, in mm², whatever its tint.
	Painted float64
}

// AreaIn measures the ink within an outline: closed polygons on the label as it
// is seen upright, from its trim's leading left corner, filled by the nonzero
// winding rule. What the label has no page for counts as bare.
func AreaIn(ctx context.Context, p *artwork.Page, r *raster.Renderer, outline [][]geometry.Position, opt Options) (*Area, error) {
	on := onPage(p, outline)
	if opt.Box = p.Boxes.Media.Intersect(on.box); opt.Box.Empty() {
		return &Area{Inks: map[string]float64{}}, nil
	}
	if opt.DPI <= 0 {
		opt.DPI = 300
	}
	if n := NewGrid(p, opt.Box, opt.DPI).Pixels(); n > maxTotals {
		opt.DPI = math.Floor(opt.DPI * math.Sqrt(maxTotals/float64(n)))
	}
	set := New(p, r, opt)
	mask := set.Grid.mask(p, on.polygons)
	pixel := math.Pow(25.4/set.Grid.DPI, 2)
	area := &Area{Inks: map[string]float64{}}
	painted := make([]bool, len(mask.Pix))
	inks := set.Those(func(k Ink) bool { return k.Kind != ink.Technical })
	sums := make([]int, len(set.Inks))
	err := set.Draw(ctx, inks, func(i int, b Band) error {
		at := b.Y * b.Width
		for x, v := range b.Pixels {
			sums[i] += int(v) * int(mask.Pix[at+x])
			if v > 0 && set.Inks[i].Kind != ink.Varnish {
				painted[at+x] = true
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	for _, i := range inks {
		area.Inks[set.Inks[i].Name] = float64(sums[i]) / (255 * 255) * pixel
	}
	for i, yes := range painted {
		if yes {
			area.Painted += float64(mask.Pix[i]) / 255 * pixel
		}
	}
	return area, nil
}

// placed is an outline on its page, in the page's own space.
type placed struct {
	polygons [][][2]float64
	box      artwork.Rect
}

func onPage(p *artwork.Page, outline [][]geometry.Position) placed {
	m := p.FormMatrix()
	det := m[0]*m[3] - m[1]*m[2]
	around := p.Size().Around
	out := placed{box: artwork.Rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}}
	for _, polygon := range outline {
		var points [][2]float64
		for _, at := range polygon {
			u, v := at.Across.Points()-m[4], (around-at.Around).Points()-m[5]
			x, y := (m[3]*u-m[2]*v)/det, (m[0]*v-m[1]*u)/det
			points = append(points, [2]float64{x, y})
			out.box = artwork.Rect{min(out.box[0], x), min(out.box[1], y), max(out.box[2], x), max(out.box[3], y)}
		}
		out.polygons = append(out.polygons, points)
	}
	return out
}

// Pixels returns how many pixels a grid has.
func (g Grid) Pixels() int { return g.Width * g.Height }

// mask draws polygons of the page: 255 inside.
func (g Grid) mask(p *artwork.Page, polygons [][][2]float64) *image.Alpha {
	scale := g.DPI * p.UserUnit / 72
	z := vector.NewRasterizer(g.Width, g.Height)
	for _, polygon := range polygons {
		for i, at := range polygon {
			x, y := float32((at[0]-g.Box[0])*scale), float32((g.Box[3]-at[1])*scale)
			if i == 0 {
				z.MoveTo(x, y)
			} else {
				z.LineTo(x, y)
			}
		}
		z.ClosePath()
	}
	mask := image.NewAlpha(image.Rect(0, 0, g.Width, g.Height))
	z.DrawOp = draw.Src
	z.Draw(mask, mask.Bounds(), image.Opaque, image.Point{})
	return mask
}
