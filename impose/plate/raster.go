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
func (s *Set) Raster(ctx context.Context, i int) (img *image.Gray, err error) {
	err = s.Rasters(ctx, []int{i}, func(_ int, drawn *image.Gray) error {
		img = drawn
		return nil
	})
	return img, err
}

// Rasters draws the plates of some inks, by number, whole and hands each to see as
// soon as it is done: no more than three are held at a time.
func (s *Set) Rasters(ctx context.Context, inks []int, see func(i int, img *image.Gray) error) error {
	begun := map[int]*image.Gray{}
	return s.Draw(ctx, inks, func(i int, b Band) error {
		img := begun[i]
		if img == nil {
			img = image.NewGray(image.Rect(0, 0, s.Grid.Width, s.Grid.Height))
			begun[i] = img
		}
		copy(img.Pix[b.Y*b.Width:], b.Pixels)
		if b.Y+b.Rows() < s.Grid.Height {
			return nil
		}
		delete(begun, i)
		return see(i, img)
	})
}

// every returns the numbers of all inks.
func (s *Set) every() []int { return s.Those(func(Ink) bool { return true }) }

// Those returns the numbers of the inks that are such.
func (s *Set) Those(such func(Ink) bool) (list []int) {
	for i, k := range s.Inks {
		if such(k) {
			list = append(list, i)
		}
	}
	return list
}

// counts reports whether an ink counts for the total of inks at a place: white
// and varnish stand beneath and above the colours, technical inks don't print.
// Common practice, no source.
func (k Ink) counts() bool { return k.Kind == ink.Process || k.Kind == ink.Spot }

// pixels returns the pixels whose centres lie in a box of the page.
func (g Grid) pixels(p *artwork.Page, r artwork.Rect) image.Rectangle {
	scale := g.DPI * p.UserUnit / 72
	at := func(v float64) int { return int(v*scale + 0.5) }
	return image.Rect(at(r[0]-g.Box[0]), at(g.Box[3]-r[3]), at(r[2]-g.Box[0]), at(g.Box[3]-r[1])).
		Intersect(image.Rect(0, 0, g.Width, g.Height))
}

// whole returns the pixels that lie wholly in a box of the page, or of a box smaller
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
