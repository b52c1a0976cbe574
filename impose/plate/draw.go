package plate

import (
	"context"
	"crypto/sha256"
	"fmt"
	"hash"
	"io"
	"slices"
	"strings"

	"quoin/impose/artwork"
	"quoin/impose/raster"
	"quoin/impose/thrift"
)

// strip is the same rows of the plates of a trio, in its order.
type strip struct {
	y      int // of the first row
	planes [][]byte
}

// Draw draws the plates of some inks, by number, in bands from the top and hands each
// to take: plates that are drawn together take turns. It ends at once with the
// context's error, or take's.
func (s *Set) Draw(ctx context.Context, inks []int, take func(i int, b Band) error) error {
	trios, err := s.trios(ctx)
	if err != nil {
		return err
	}
	bare := map[int]bool{}
	for _, i := range inks {
		bare[i] = true
	}
	for _, t := range trios {
		wanted := false
		for _, i := range t {
			wanted = wanted || bare[i]
			delete(bare, i)
		}
		if !wanted {
			continue
		}
		if s.isLarge() {
			thrift.Release()
		}
		err := s.draw(ctx, t, func(drawn strip) error {
			for n, i := range t {
				if !slices.Contains(inks, i) {
					continue
				}
				if err := take(i, Band{drawn.y, s.Grid.Width, drawn.planes[n]}); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			return fmt.Errorf("%s: %w", strings.Join(s.names(t), ", "), err)
		}
	}
	for _, i := range inks {
		if !bare[i] {
			continue
		}
		if err := s.empty(ctx, func(b Band) error { return take(i, b) }); err != nil {
			return err
		}
	}
	return nil
}

// names returns the names of inks.
func (s *Set) names(inks []int) (list []string) {
	for _, i := range inks {
		list = append(list, s.Inks[i].Name)
	}
	return list
}

// draw draws the plates of a trio, none of which is known to be empty.
func (s *Set) draw(ctx context.Context, t trio, take func(strip) error) error {
	if done, err := s.drawStamped(ctx, t, take); done || err != nil {
		return err
	}
	b, err := s.builder(ctx, t)
	if err != nil {
		return err
	}
	pdf, err := b.build(s.Grid.Box)
	if err != nil {
		return err
	}
	defer pdf.Close()
	fine, sum := s.fineness(b), sha256.New()
	r, err := pdf.Reader()
	if err == nil && s.cache != nil {
		_, err = io.Copy(sum, r)
	}
	if err != nil {
		return err
	}
	return s.kept(ctx, t, fine, sum, take, func(take func(strip) error) error { return s.parts(ctx, t, fine, pdf, take) })
}

// kept hands out the plates of a trio, drawn so many times finer than the grid from
// what was written to a hash: those that the cache has, or else ones that are drawn and then kept.
func (s *Set) kept(ctx context.Context, t trio, fine int, from hash.Hash, take func(strip) error, draw func(take func(strip) error) error) error {
	path := s.cache.path(s.Grid, fine, from)
	if done, err := s.cache.read(ctx, path, s.Grid, len(t), take); done || err != nil {
		return err
	}
	keep := s.cache.write(path)
	defer keep.abandon()
	err := draw(func(drawn strip) error {
		keep.keep(drawn, s.Grid.Width)
		return take(drawn)
	})
	if err == nil {
		keep.finish()
	}
	return err
}

// parts draws the plates of a trio from their copy. A large page is copied once more
// for each of its bands, with only what lies there.
func (s *Set) parts(ctx context.Context, t trio, fine int, pdf *raster.Draft, take func(strip) error) error {
	g := s.Grid
	if !s.isLarge() {
		return s.part(ctx, t, pdf, fine, 0, g.Height, take)
	}
	scale := g.DPI / 72
	if s.matrix == nil {
		scale *= s.Page.UserUnit
	}
	rows := max(2, mostFiner/2/g.Width&^1)
	for y := 0; y < g.Height; y += rows {
		n := min(rows, g.Height-y)
		b, err := s.builder(ctx, t)
		if err != nil {
			return err
		}
		here := artwork.Rect{g.Box[0], g.Box[3] - float64(y+n)/scale, g.Box[2], g.Box[3] - float64(y)/scale}
		b.cull = &here
		band, err := b.build(here)
		if err != nil {
			return err
		}
		if err := s.part(ctx, t, band, fine, y, n, take); err != nil {
			return err
		}
	}
	return nil
}

// part draws a copy, so many times finer than the grid, as the rows from y on.
func (s *Set) part(ctx context.Context, t trio, pdf *raster.Draft, fine, y, rows int, take func(strip) error) error {
	sheet, err := s.renderer.Open(ctx, pdf)
	if err != nil {
		return err
	}
	defer sheet.Close()
	row := make([]byte, 0, s.Grid.Width)
	return sheet.Bands(ctx, fine*s.Grid.Width, fine*rows, func(at int, band raster.Planes) error {
		for n := range t {
			band[n] = coarser(band[n], s.Grid.Width, fine, row)
			invert(band[n])
		}
		return take(strip{y + at/fine, band[:len(t)]})
	})
}

// builder prepares the copy of some inks.
func (s *Set) builder(ctx context.Context, t trio) (*builder, error) {
	var inks []Ink
	for _, i := range t {
		inks = append(inks, s.Inks[i])
	}
	b, err := newBuilder(ctx, s.Page, inks, s.spaces, &s.told)
	if err != nil {
		return nil, err
	}
	s.prepare(b)
	return b, nil
}

// prepare sets what all copies share.
func (s *Set) prepare(b *builder) {
	b.matrix = s.matrix
	if !s.asDrawn {
		b.silent = s.technical()
	}
}

// empty hands out a plate without ink.
func (s *Set) empty(ctx context.Context, take func(Band) error) error {
	rows := raster.BandRows(s.Grid.Width)
	for y := 0; y < s.Grid.Height; y += rows {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := take(Band{y, s.Grid.Width, make([]byte, s.Grid.Width*min(rows, s.Grid.Height-y))}); err != nil {
			return err
		}
	}
	return nil
}

// finer is how many times finer plates with images and with tiling patterns that
// aren't spread out are drawn: the renderer puts an image and a pattern's cell on
// whole pixels, which at 300 to the inch changes the area of a small one by some per
// cent.
const finer = 2

// fineness returns how many times finer than the grid a copy is drawn.
func (s *Set) fineness(b *builder) int {
	if b.snaps && !s.rough && !s.isLarge() {
		return finer
	}
	return 1
}

// mostFiner is how many pixels a page may have that is drawn finer: those of a
// label, not of a frame, on which a pixel counts for little.
const mostFiner = 4 << 20

// isLarge reports whether a page is one of many labels: what repeats there is drawn
// once, and nothing finer than the grid.
func (s *Set) isLarge() bool { return s.large || s.Grid.Pixels() > mostFiner }

// coarser averages squares of brightness to pixels of a grid that is so wide, in the
// place of what was there. buf has room for a row.
func coarser(grey []byte, width, fine int, buf []byte) []byte {
	wide, area := fine*width, fine*fine
	rows := len(grey) / wide / fine
	out := grey[:0]
	for y := range rows {
		buf = buf[:0]
		for x := range width {
			sum := 0
			for i := range fine {
				at := (fine*y+i)*wide + fine*x
				for _, v := range grey[at : at+fine] {
					sum += int(v)
				}
			}
			buf = append(buf, byte((sum+area/2)/area))
		}
		out = append(out, buf...) // behind what is still to be read
	}
	return out
}

// invert turns brightness into ink, or back.
func invert(pixels []byte) {
	for i, v := range pixels {
		pixels[i] = 255 - v
	}
}
