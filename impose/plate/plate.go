// Package plate shows an artwork, or a frame that has been written, as one
// raster for each ink: what the press will put down, before it does.
//
// Plates are drawn by the renderer that is built in from copies of the page made for
// looking only, in which every colour is replaced by how much there is of an ink:
// white where there is none, black where it is solid. Up to three inks share a copy,
// as its red, green and blue. Blending and soft masks work on each ink by itself and
// so come right. What overprints and
// doesn't name the ink (ISO 32000-1 8.6.7, 11.7.4.5; mode 1 included) is
// painted with no opacity in that ink's copy, or by another copy than that of the others. What doesn't come right is named:
// see [Approximation].
package plate

import (
	"math"

	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/raster"
)

// Ink is an ink that has a plate.
type Ink struct {
	ink.Ink
	process int  // place in C, M, Y, K; -1 for a spot
	mask    bool // no ink: the brightness that a soft mask takes
}

// Approximation is something of which the plates may differ from the press's.
type Approximation struct {
	What string `json:"what"`
	Why  string `json:"why"`
}

// Grid says how pixels lie on a page: square, DPI to the inch, from the upper
// left corner of Box, which is in the page's own space.
type Grid struct {
	DPI           float64
	Width, Height int          // pixels
	Box           artwork.Rect // grown at the right and below to whole pixels
}

// NewGrid lays pixels over a box of a page.
func NewGrid(p *artwork.Page, box artwork.Rect, dpi float64) Grid {
	scale := dpi * p.UserUnit / 72
	// A box that is a whole number of pixels but for its rounding is that.
	const rounding = 1e-3
	w := max(1, int(math.Ceil(box.Width()*scale-rounding)))
	h := max(1, int(math.Ceil(box.Height()*scale-rounding)))
	return Grid{dpi, w, h, artwork.Rect{box[0], box[3] - float64(h)/scale, box[0] + float64(w)/scale, box[3]}}
}

// Set is the plates of one page.
type Set struct {
	Page *artwork.Page
	Inks []Ink
	Grid Grid

	renderer *raster.Renderer
	cache    *Cache
	spaces   *spaces
	told     approximations
	digests  *digests
	rough    bool            // no plate is drawn finer than the grid
	large    bool            // whatever the grid, the page is: see isLarge
	matrix   *artwork.Matrix // from the page to the grid's space; nil for none
	asDrawn  bool            // see Options
	noStamps bool            // labels that repeat are drawn again and again
	sorted   []trio          // nil until it is known: see trios
}

// Options say how plates are drawn.
type Options struct {
	DPI   float64      // default 300
	Box   artwork.Rect // default: the bleed box
	Cache *Cache       // nil keeps nothing
	// AsDrawn lets technical inks knock out what lies beneath them, as they do
	// if the page is printed as it is. By default they touch no plate but their
	// own, as in a frame, where they are silent or removed.
	AsDrawn bool
}

// New prepares the plates of a page: of the process inks that it uses, and of
// each spot, technical ones included.
func New(p *artwork.Page, r *raster.Renderer, opt Options) *Set {
	if opt.DPI <= 0 {
		opt.DPI = 300
	}
	if opt.Box.Empty() {
		opt.Box = p.Boxes.Bleed
	}
	s := &Set{Page: p, Grid: NewGrid(p, opt.Box, opt.DPI), renderer: r, cache: opt.Cache, spaces: newSpaces(p), digests: newDigests(p.Doc), asDrawn: opt.AsDrawn}
	for _, u := range p.Inks {
		if u.State == artwork.Used {
			s.Inks = append(s.Inks, Ink{Ink: u.Ink, process: processNumber(u.Name)})
		}
	}
	return s
}

// Approximate lists of what the plates may differ from the press's, of those
// plates that have been drawn.
func (s *Set) Approximate() []Approximation { return s.told.list }

// Band is some rows of a plate: 0 is no ink, 255 is solid.
type Band struct {
	Y      int // of the first row
	Width  int
	Pixels []byte // row by row without gaps; valid until the next band
}

// Rows returns the number of rows.
func (b Band) Rows() int { return len(b.Pixels) / b.Width }

// technical names the inks that print nothing.
func (s *Set) technical() map[string]bool {
	names := map[string]bool{}
	for _, k := range s.Inks {
		names[k.Name] = k.Kind == ink.Technical
	}
	return names
}
