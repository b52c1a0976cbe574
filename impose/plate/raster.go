package plate

import (
	"context"
	"image"
	"math"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/ink"
)

// Raster draws the plate of ink i whole: 0 is no ink, 255 is solid.
func (s *Set) Raster(ctx context.Context, i int) (*image.Gray, error) {
	img := image.NewGray(image.Rect(0, 0, s.Grid.Width, s.Grid.Height))
	err := s.Draw(ctx, i, func(b Band) error {
		copy(img.Pix[b.Y*b.Width:], b.Pixels)
		return nil
	})
	if err != nil {
		return nil, err
	}
	return img, nil
}

// counts reports whether an ink counts for the total of inks at a place: white
// and varnish stand beneath and above the colours, technical inks don't print.
// Common practice, no source.
func (k Ink) counts() bool { return k.Kind == ink.Process || k.Kind == ink.Spot }

// pixels gives the pixels whose centres lie in a box of the page.
func (g Grid) pixels(p *artwork.Page, r artwork.Rect) image.Rectangle {
	scale := g.DPI * p.UserUnit / 72
	at := func(v float64) int { return int(v*scale + 0.5) }
	return image.Rect(at(r[0]-g.Box[0]), at(g.Box[3]-r[3]), at(r[2]-g.Box[0]), at(g.Box[3]-r[1])).
		Intersect(image.Rect(0, 0, g.Width, g.Height))
}

// whole gives the pixels that lie wholly in a box of the page, or of a box smaller
// than that those whose centres do: a last row that lies on the page in part only
// would be the hundredth part of one of 14 mm.
func (g Grid) whole(p *artwork.Page, r artwork.Rect) image.Rectangle {
	scale := g.DPI * p.UserUnit / 72
	const rounding = 1e-3
	up := func(v float64) int { return int(math.Ceil(v*scale - rounding)) }
	down := func(v float64) int { return int(math.Floor(v*scale + rounding)) }
	in := image.Rectangle{image.Pt(up(r[0]-g.Box[0]), up(g.Box[3]-r[3])), image.Pt(down(r[2]-g.Box[0]), down(g.Box[3]-r[1]))}
	if in = in.Intersect(image.Rect(0, 0, g.Width, g.Height)); in.Empty() {
		return g.pixels(p, r)
	}
	return in
}

// Place returns where the centre of a pixel lies on the label as seen upright,
// from the trim's leading left corner. Around is positive towards the trailing
// edge, as everywhere.
func (s *Set) Place(x, y int) geometry.Position {
	p := s.Page
	scale := s.Grid.DPI * p.UserUnit / 72
	px, py := p.FormMatrix().Apply(s.Grid.Box[0]+(float64(x)+.5)/scale, s.Grid.Box[3]-(float64(y)+.5)/scale)
	return geometry.Position{Across: geometry.FromPoints(px), Around: p.Size().Around - geometry.FromPoints(py)}
}
