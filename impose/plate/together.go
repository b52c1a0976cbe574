package plate

import (
	"context"
	"errors"
	"math/bits"
	"slices"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// Up to three plates are drawn at once: one is the red of a copy of the page, one the
// green, one the blue. Blending, soft masks and the edges of shapes work on each
// colour by itself. But what is painted covers all three, so plates are drawn together
// only if each object paints on all of them or on none, or can be made to.

// together is how many plates are drawn at once.
const together = 3

// plates is a set of a builder's plates: bit i is that of its ink i.
type plates uint64

// mostLooked is how many plates are looked at at once, the bits of a set.
const mostLooked = 64

// inking is what the plates of a copy are, and what is known of them while the page
// is gone through.
type inking struct {
	inks     []Ink
	silent   map[string]bool // inks that touch no plate but their own
	noTiling bool            // tiling patterns are left out
	looks    bool            // nothing is written: see look
	inked    plates          // something may put ink on them
	apart    []plates        // those that can't be drawn together with plate i, while it looks
}

// all returns the set of all plates of the copy.
func (in *inking) all() plates { return 1<<len(in.inks) - 1 }

// mixed reports whether something paints on some plates of the copy and not on others.
func (in *inking) mixed(on plates) bool { return on != 0 && on != in.all() }

// those returns the plates whose ink is such.
func (in *inking) those(such func(Ink) bool) (set plates) {
	for i, k := range in.inks {
		if such(k) {
			set |= 1 << i
		}
	}
	return set
}

// errApart is a fault of the program: what was looked at first says who goes together.
var errApart = errors.New("plates that an object treats differently were to be drawn together")

// part notes that none of some plates can be drawn together with one of others.
func (x *rewriter) part(some, others plates) {
	b := x.b
	others &= b.all()
	if some == 0 || others == 0 {
		return
	}
	if b.apart == nil {
		x.fail(errApart)
		return
	}
	for i := range b.inks {
		switch {
		case some>>i&1 != 0:
			b.apart[i] |= others
		case others>>i&1 != 0:
			b.apart[i] |= some
		}
	}
}

// mix parts the plates on which the state's colours paint from those on which they
// don't, but where they can multiply: where nothing is painted it is white then, and
// leaves what lies beneath as it is. What is solid covers as it multiplies. In a group
// that isn't isolated, a pattern's cell or a glyph what is white would be seen; and of
// text that blends the renderer cuts off the smooth edges, at the boxes of its letters.
func (x *rewriter) mix(g *state, fills, strokes plates) {
	b := x.b
	tints := b.tinted(&g.fill, fills) | b.tinted(&g.stroke, strokes)
	plain := !x.grouped && !x.glyph && !x.text && (fills == 0 || g.fill.space.family != patternSpace) && (strokes == 0 || g.stroke.space.family != patternSpace)
	switch {
	case !plain, x.isolated && fills != 0 && strokes != 0:
	case g.blend == "Multiply", multiplies[g.blend] && tints == 0:
		return
	case multiplies[g.blend] && strokes == 0:
		x.part(tints, ^fills)
		return
	case multiplies[g.blend] && fills == 0:
		x.part(tints, ^strokes)
		return
	}
	x.part(fills, ^fills)
	x.part(strokes, ^strokes)
}

// multiplies are the blend modes that are Multiply for what is solid.
var multiplies = map[pdfobj.Name]bool{"Normal": true, "Compatible": true}

// tinted returns those plates of a set on which a colour isn't solid.
func (in *inking) tinted(c *colour, on plates) (set plates) {
	for i, k := range in.inks {
		if on>>i&1 == 0 {
			continue
		}
		if amount, _ := c.space.tint(k, c.values); brightness(amount) != 0 {
			set |= 1 << i
		}
	}
	return set
}

// trio is up to three inks of a set, by number, that are drawn together.
type trio []int

// trios sorts the inks that something paints with into trios.
func (s *Set) trios(ctx context.Context) ([]trio, error) {
	if s.sorted != nil {
		return s.sorted, nil
	}
	sorted := []trio{}
	for from := 0; from < len(s.Inks); from += mostLooked {
		inks := s.Inks[from:min(from+mostLooked, len(s.Inks))]
		seen, err := look(ctx, s.Page, inks, s.spaces, &s.told, s.prepare)
		if err != nil {
			return nil, err
		}
		for _, t := range seen.trios() {
			for i := range t {
				t[i] += from
			}
			sorted = append(sorted, t)
		}
	}
	s.sorted = sorted
	return sorted, nil
}

// look goes through a page without writing a copy, and returns what is then known of
// the plates.
func look(ctx context.Context, p *artwork.Page, inks []Ink, sp *spaces, told *approximations, prepare func(*builder)) (*inking, error) {
	b, err := newBuilder(ctx, p, inks, sp, told)
	if err != nil {
		return nil, err
	}
	prepare(b)
	b.looks, b.apart = true, make([]plates, len(inks))
	if _, err := b.run(p.Boxes.Media); err != nil {
		return nil, err
	}
	return &b.inking, nil
}

// trios puts each ink into the first trio that has room and none that it must be apart
// from.
func (in *inking) trios() (list []trio) {
	var members []plates
	for i, apart := range in.apart {
		if in.inked>>i&1 == 0 {
			continue
		}
		n := slices.IndexFunc(members, func(m plates) bool { return m&apart == 0 && bits.OnesCount64(uint64(m)) < together })
		if n < 0 {
			n = len(list)
			list, members = append(list, nil), append(members, 0)
		}
		list[n] = append(list[n], i)
		members[n] |= 1 << i
	}
	return list
}
