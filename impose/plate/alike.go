package plate

import (
	"context"
	"fmt"
	"image"
	"image/draw"
	"math"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/raster"
)

// Likeness says how two labels differ: those that differ in little are easily
// taken for each other on the press and on the rewinder, which with drugs and
// allergens can hurt someone.
type Likeness struct {
	// Percent is the share of the trim's area in which any ink differs by more
	// than a fifth of its solid, give or take a pixel of place. Where nothing does,
	// except what is smaller than a pixel, as a digit of small print is, Fine is
	// true and all pixels count that differ.
	Percent float64
	Fine    bool
	// Place is where most of the difference lies, upright, from the trim's
	// leading left corner; empty if nothing differs.
	Place geometry.Box
	// Picture shows the place on the first label and, right of it, on the second,
	// in the colours that the inks look like. Nil if nothing differs, and until Show.
	Picture image.Image
}

// LookAlike is the share of a label in per cent up to which two labels count as
// look-alikes: the strength on a drug's label, or the line of allergens, takes
// about that much. Common practice, no source.
const LookAlike = 3.0

// Alike reports whether the labels are no more different than look-alikes are,
// and yet not the same.
func (l *Likeness) Alike() bool { return l.Percent > 0 && (l.Fine || l.Percent <= LookAlike) }

const (
	alikeDPI  = 100
	alikeTone = 51                           // a fifth of solid
	placeSide = 8 * geometry.Millimetre      // of the square in which the difference is sought
	noPixel   = 10 * geometry.Micrometre * 5 // trims may differ by this much
)

// Look is a label as its plates show it, for comparing it with others: some 0.4 MB
// for 50 x 75 mm in six inks.
type Look struct {
	size   geometry.Size
	grid   Grid
	inks   []Ink
	plates []*image.Gray
}

// See draws the plates of a label within its trim, technical inks left out.
func See(ctx context.Context, r *raster.Renderer, p *artwork.Page) (*Look, error) {
	return see(ctx, r, p, geometry.BoxAt(geometry.Position{}, p.Size()), alikeDPI)
}

// see draws a part of a label, which is placed from the trim's leading left corner.
func see(ctx context.Context, r *raster.Renderer, p *artwork.Page, part geometry.Box, dpi float64) (*Look, error) {
	s := upright(p, r, part, dpi)
	l := &Look{size: p.Size(), grid: s.Grid}
	inks := s.Those(func(k Ink) bool { return k.Kind.Prints() })
	drawn := map[int]*image.Gray{}
	err := s.Rasters(ctx, inks, func(i int, img *image.Gray) error {
		drawn[i] = img
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", p.Name(), err)
	}
	for _, i := range inks {
		l.inks, l.plates = append(l.inks, s.Inks[i]), append(l.plates, drawn[i])
	}
	return l, nil
}

// Compare compares the plates of two labels within their trims, technical inks
// left out. Labels of another size are wholly different.
func Compare(ctx context.Context, r *raster.Renderer, a, b *artwork.Page) (*Likeness, error) {
	if !SameSize(a, b) {
		return &Likeness{Percent: 100}, nil
	}
	x, err := See(ctx, r, a)
	if err != nil {
		return nil, err
	}
	y, err := See(ctx, r, b)
	if err != nil {
		return nil, err
	}
	l := x.Compare(y, 100)
	return l, l.Show(ctx, r, a, b)
}

// SameSize reports whether two labels are of one size, except what trims differ
// by when they are drawn by hand.
func SameSize(a, b *artwork.Page) bool {
	return near(a.Size().Across, b.Size().Across) && near(a.Size().Around, b.Size().Around)
}

// Compare compares two labels, and draws no picture. It ends where more than most per
// cent differ, and then says no place.
func (l *Look) Compare(other *Look, most float64) *Likeness {
	g := l.grid
	if !near(l.size.Across, other.size.Across) || !near(l.size.Around, other.size.Around) {
		return &Likeness{Percent: 100}
	}
	differs, count := make([]bool, g.Width*g.Height), 0
	fine := make([]bool, len(differs))
	for _, k := range union(l.inks, other.inks) {
		plates := [2]*image.Gray{l.named(k, g), other.named(k, g)}
		for y := range g.Height {
			for x := range g.Width {
				at := y*g.Width + x
				if differs[at] || !unlike(plates[0], plates[1], x, y) {
					continue
				}
				fine[at] = true
				if apartAt(plates[0], plates[1], x, y) {
					differs[at] = true
					count++
				}
			}
			if percent := 100 * float64(count) / float64(len(differs)); percent > most {
				return &Likeness{Percent: percent}
			}
		}
	}
	if count == 0 {
		l := likeness(fine, g)
		l.Fine = l.Percent > 0
		return l
	}
	return likeness(differs, g)
}

// named returns the plate of an ink, which the label may not have, on a grid that
// may be a pixel larger or smaller than its own.
func (l *Look) named(k Ink, g Grid) *image.Gray {
	out := image.NewGray(image.Rect(0, 0, g.Width, g.Height))
	for i, own := range l.inks {
		if own.Name != k.Name {
			continue
		}
		if l.plates[i].Rect == out.Rect {
			return l.plates[i]
		}
		draw.Draw(out, out.Rect, l.plates[i], image.Point{}, draw.Src)
	}
	return out
}

func near(a, b geometry.Length) bool { return max(a-b, b-a) <= noPixel }

// upright prepares the plates of a part of a label as it is seen, the part placed from
// the trim's leading left corner.
func upright(p *artwork.Page, r *raster.Renderer, part geometry.Box, dpi float64) *Set {
	m := p.FormMatrix()
	s := New(p, r, Options{DPI: dpi})
	perPoint := dpi / 72
	w, h := max(1, int(math.Ceil(part.Size().Across.Points()*perPoint-1e-3))), max(1, int(math.Ceil(part.Size().Around.Points()*perPoint-1e-3)))
	left, top := part.Min.Across.Points(), (p.Size().Around - part.Min.Around).Points()
	s.matrix, s.rough = &m, true
	s.Grid = Grid{dpi, w, h, artwork.Rect{left, top - float64(h)/perPoint, left + float64(w)/perPoint, top}}
	return s
}

// union lists the inks of both that print.
func union(a, b []Ink) (list []Ink) {
	seen := map[string]bool{}
	for _, k := range append(append([]Ink{}, a...), b...) {
		if !seen[k.Name] && k.Kind.Prints() {
			seen[k.Name] = true
			list = append(list, k)
		}
	}
	return list
}

// unlike reports whether a pixel differs on two plates.
func unlike(a, b *image.Gray, x, y int) bool {
	v, w := int(a.Pix[y*a.Stride+x]), int(b.Pix[y*b.Stride+x])
	return max(v-w, w-v) > alikeTone
}

// apartAt reports whether a pixel of one plate is unlike all around it on the
// other.
func apartAt(a, b *image.Gray, x, y int) bool {
	return outside(a, b, x, y) || outside(b, a, x, y)
}

func outside(a, b *image.Gray, x, y int) bool {
	v, low, high := int(a.Pix[y*a.Stride+x]), 255, 0
	for i := max(0, y-1); i <= min(b.Rect.Max.Y-1, y+1); i++ {
		for j := max(0, x-1); j <= min(b.Rect.Max.X-1, x+1); j++ {
			n := int(b.Pix[i*b.Stride+j])
			low, high = min(low, n), max(high, n)
		}
	}
	return v < low-alikeTone || v > high+alikeTone
}

// likeness sums up where labels differ.
func likeness(differs []bool, g Grid) *Likeness {
	n := 0
	for _, d := range differs {
		if d {
			n++
		}
	}
	l := &Likeness{Percent: 100 * float64(n) / float64(len(differs))}
	if n == 0 {
		return l
	}
	const pixel = geometry.Inch / alikeDPI
	side := int(placeSide / pixel)
	place := densest(differs, g, side)
	l.Place = geometry.Box{
		Min: geometry.Position{Across: geometry.Length(place.Min.X) * pixel, Around: geometry.Length(place.Min.Y) * pixel},
		Max: geometry.Position{Across: geometry.Length(place.Max.X) * pixel, Around: geometry.Length(place.Max.Y) * pixel},
	}
	return l
}

// densest returns the box around the differing pixels in the square that holds
// most of them.
func densest(differs []bool, g Grid, side int) image.Rectangle {
	sums := make([]int, (g.Width+1)*(g.Height+1)) // of all that is above and left
	at := func(x, y int) int { return sums[min(y, g.Height)*(g.Width+1)+min(x, g.Width)] }
	for y := range g.Height {
		for x := range g.Width {
			v := 0
			if differs[y*g.Width+x] {
				v = 1
			}
			sums[(y+1)*(g.Width+1)+x+1] = v + at(x, y+1) + at(x+1, y) - at(x, y)
		}
	}
	most, best := 0, image.Point{}
	for y := range g.Height {
		for x := range g.Width {
			if n := at(x+side, y+side) - at(x, y+side) - at(x+side, y) + at(x, y); n > most {
				most, best = n, image.Pt(x, y)
			}
		}
	}
	var box image.Rectangle
	for y := best.Y; y < min(best.Y+side, g.Height); y++ {
		for x := best.X; x < min(best.X+side, g.Width); x++ {
			if differs[y*g.Width+x] {
				box = box.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	return box
}
