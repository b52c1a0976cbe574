package plate

import (
	"context"
	"image"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/raster"
)

// Upright is the plates of a label as it is seen upright.
type Upright struct {
	Width, Height int // pixels
	Inks          []UprightInk
	Approx        []Approximation
}

// UprightInk is one of them: 0 is no ink, 255 is solid.
type UprightInk struct {
	ink.Ink // by the artwork's name
	Plate   *image.Gray
}

// DrawUpright draws the plates of the inks that print within a box of the label,
// whose corner is the trim's leading left one, at so many pixels to the inch.
func DrawUpright(ctx context.Context, p *artwork.Page, r *raster.Renderer, box geometry.Box, opt Options) (*Upright, error) {
	on := onPage(p, [][]geometry.Position{{box.Min, {Across: box.Max.Across, Around: box.Min.Around}, box.Max, {Across: box.Min.Across, Around: box.Max.Around}}})
	out := &Upright{
		Width:  max(1, int(box.Size().Across.Points()*opt.DPI/72+.5)),
		Height: max(1, int(box.Size().Around.Points()*opt.DPI/72+.5)),
	}
	opt.Box = p.Boxes.Media.Intersect(on.box)
	if opt.Box.Empty() {
		return out, nil
	}
	set := New(p, r, opt)
	inks := set.Those(func(k Ink) bool { return k.Kind != ink.Technical })
	turned := map[int]*image.Gray{}
	err := set.Rasters(ctx, inks, func(i int, drawn *image.Gray) error {
		turned[i] = set.turned(drawn, box, out.Width, out.Height)
		return nil
	})
	if err != nil {
		return nil, err
	}
	for _, i := range inks {
		out.Inks = append(out.Inks, UprightInk{set.Inks[i].Ink, turned[i]})
	}
	out.Approx = set.Approximate()
	return out, nil
}

// turned samples a plate as the label is seen upright.
func (s *Set) turned(drawn *image.Gray, box geometry.Box, width, height int) *image.Gray {
	out := image.NewGray(image.Rect(0, 0, width, height))
	scale := s.Grid.DPI * s.Page.UserUnit / 72
	size := box.Size()
	row := make([]geometry.Position, width)
	for y := range height {
		around := box.Min.Around + geometry.Length((float64(y)+.5)/float64(height)*float64(size.Around))
		for x := range row {
			row[x] = geometry.Position{Across: box.Min.Across + geometry.Length((float64(x)+.5)/float64(width)*float64(size.Across)), Around: around}
		}
		for x, at := range onPage(s.Page, [][]geometry.Position{row}).polygons[0] {
			px, py := int((at[0]-s.Grid.Box[0])*scale), int((s.Grid.Box[3]-at[1])*scale)
			if image.Pt(px, py).In(drawn.Rect) {
				out.Pix[y*width+x] = drawn.Pix[py*drawn.Stride+px]
			}
		}
	}
	return out
}
