package plate

import (
	"bytes"
	"context"
	"image"
	"io"
	"math"
	"slices"

	"quoin/impose/artwork"
	"quoin/impose/raster"
)

// A frame paints a few labels many times. Each of them is drawn once and placed on
// whole pixels, which at the resolution of a frame moves an edge by less than a
// tenth of a millimetre and changes no area; what is painted beneath and above is
// drawn as on any page. To be placed like that, what is painted must be a line of
// what lies beneath, pixel by pixel, as it is in most blend modes: drawn on white
// and on black, two of its points are known.

// layer is what some paintings make of what lies beneath, for some rows or for
// some box of the grid.
type layer struct {
	box          image.Rectangle
	white, black []byte // what becomes of white and of black
}

// over paints a layer on rows of brightness that begin at y.
func (l *layer) over(pixels []byte, width, y int) {
	in := l.box.Intersect(image.Rect(0, y, width, y+len(pixels)/width))
	for row := in.Min.Y; row < in.Max.Y; row++ {
		from := (row-l.box.Min.Y)*l.box.Dx() - l.box.Min.X
		line := pixels[(row-y)*width : (row-y+1)*width]
		for x := in.Min.X; x < in.Max.X; x++ {
			white, black := int(l.white[from+x]), int(l.black[from+x])
			line[x] = byte(black + ((white-black)*int(line[x])+127)/255)
		}
	}
}

// stamping is how a plate is put together.
type stamping struct {
	set   *Set
	i     int // the ink
	run   span
	paint []laid            // all paintings of the page's own content
	first map[string]int    // of each key
	drawn map[string]*layer // by key, at the place of the first
	spare layer             // what was laid last, to be overwritten
}

// stamping finds out whether a page is made of forms that repeat; nil if not.
func (s *Set) stamping(ctx context.Context, i int) (*stamping, error) {
	if k, _ := s.Page.Doc.Bool(s.Page.Group["K"]); k {
		return nil, nil
	}
	b, err := s.builder(ctx, i)
	if err != nil {
		return nil, err
	}
	b.scout, b.told = &scout{digests: s.digests}, &approximations{}
	looked, err := b.build(s.Grid.Box)
	if err != nil {
		return nil, err
	}
	looked.Close()
	run, ok := b.scout.repeated()
	if !ok || b.bent {
		return nil, nil
	}
	return &stamping{set: s, i: i, run: run, paint: b.scout.paints, first: map[string]int{}, drawn: map[string]*layer{}}, nil
}

// drawStamped draws a plate of labels that repeat, and reports whether it did.
func (s *Set) drawStamped(ctx context.Context, i int, take func(Band) error) (bool, error) {
	if s.noStamps || s.matrix != nil || s.Grid.Pixels() <= mostFiner {
		return false, nil
	}
	st, err := s.stamping(ctx, i)
	if st == nil || err != nil {
		return false, err
	}
	all := &raster.Draft{} // one after another, only to be told apart
	defer all.Close()
	inked, bent, err := st.copies(ctx, all)
	switch {
	case err != nil || bent:
		return false, err
	case !inked:
		return true, s.empty(ctx, take)
	}
	// A page that isn't stamped is never drawn 0 times as fine.
	return true, s.kept(ctx, 0, all, take, func(take func(Band) error) error { return st.draw(ctx, take) })
}

// copies writes all that the plate is drawn from, one after another, and says
// whether it may have ink, and whether something blends that can't be placed.
func (st *stamping) copies(ctx context.Context, all io.Writer) (inked, bent bool, err error) {
	spans := []span{{0, st.run.from}, {st.run.to, toTheEnd}}
	var places bytes.Buffer
	for n := st.run.from; n < st.run.to; n++ {
		p := st.paint[n]
		if _, known := st.first[p.key]; !known {
			st.first[p.key] = n
			spans = append(spans, span{n, n + 1})
		}
		at := st.place(n).Min
		places.WriteString(at.String())
	}
	for _, one := range spans {
		pdf, b, err := st.copy(ctx, one, st.set.Grid.Box, func(*builder) {})
		if err != nil {
			return false, false, err
		}
		inked, bent = inked || b.inked, bent || b.bent
		r, err := pdf.Reader()
		if err == nil {
			_, err = io.Copy(all, r)
		}
		pdf.Close()
		if err != nil {
			return false, false, err
		}
	}
	_, err = places.WriteTo(all)
	return inked, bent, err
}

// copy writes the copy of some paintings on a part of the page.
func (st *stamping) copy(ctx context.Context, of span, box artwork.Rect, prepare func(*builder)) (*raster.Draft, *builder, error) {
	b, err := st.set.builder(ctx, st.i)
	if err != nil {
		return nil, nil, err
	}
	b.span = &of
	prepare(b)
	pdf, err := b.build(box)
	return pdf, b, err
}

// place gives the pixels that a painting of the run lies in: those of the first of
// its kind, moved by whole pixels.
func (st *stamping) place(n int) image.Rectangle {
	g, scale := st.set.Grid, st.scale()
	p := st.paint[n]
	first := st.paint[st.first[p.key]]
	box := image.Rect(
		int(math.Floor((first.box[0]-g.Box[0])*scale)), int(math.Floor((g.Box[3]-first.box[3])*scale)),
		int(math.Ceil((first.box[2]-g.Box[0])*scale)), int(math.Ceil((g.Box[3]-first.box[1])*scale)))
	return box.Add(image.Pt(int(math.Round((p.at[0]-first.at[0])*scale)), int(math.Round((first.at[1]-p.at[1])*scale))))
}

func (st *stamping) scale() float64 { return st.set.Grid.DPI * st.set.Page.UserUnit / 72 }

// draw puts the plate together, band by band.
func (st *stamping) draw(ctx context.Context, take func(Band) error) error {
	g := st.set.Grid
	rows := max(1, stampedBand/g.Width)
	band := make([]byte, g.Width*min(rows, g.Height))
	for y := 0; y < g.Height; y += rows {
		here := image.Rect(0, y, g.Width, min(y+rows, g.Height))
		pixels := band[:here.Dx()*here.Dy()]
		for i := range pixels {
			pixels[i] = 255
		}
		if err := st.lay(ctx, span{0, st.run.from}, here, pixels); err != nil {
			return err
		}
		for n := st.run.from; n < st.run.to; n++ {
			at := st.place(n)
			if !at.Overlaps(here) {
				continue
			}
			label, err := st.label(ctx, n)
			if err != nil {
				return err
			}
			moved := *label
			moved.box = at
			moved.over(pixels, g.Width, y)
		}
		if err := st.lay(ctx, span{st.run.to, toTheEnd}, here, pixels); err != nil {
			return err
		}
		for i, v := range pixels {
			pixels[i] = 255 - v
		}
		if err := take(Band{y, g.Width, pixels}); err != nil {
			return err
		}
	}
	return nil
}

// stampedBand is how many pixels of such a plate are drawn at a time: little has to
// be drawn anew for each band.
const stampedBand = 1 << 20

// lay paints what lies beneath or above the labels on a band.
func (st *stamping) lay(ctx context.Context, of span, here image.Rectangle, pixels []byte) error {
	l, err := st.layer(ctx, of, here, &st.spare)
	if l != nil {
		l.over(pixels, here.Dx(), here.Min.Y)
	}
	return err
}

// label draws a label of the run, each kind once.
func (st *stamping) label(ctx context.Context, n int) (*layer, error) {
	key := st.paint[n].key
	if l := st.drawn[key]; l != nil {
		return l, nil
	}
	first := st.first[key]
	l, err := st.layer(ctx, span{first, first + 1}, st.place(first), &layer{})
	st.drawn[key] = l
	return l, err
}

// layer draws some paintings on white and on black, into l; nil for none.
func (st *stamping) layer(ctx context.Context, of span, here image.Rectangle, l *layer) (*layer, error) {
	if of.from == of.to || of.to == toTheEnd && of.from == len(st.paint) && len(st.set.Page.Appearances) == 0 {
		return nil, nil
	}
	g, scale := st.set.Grid, st.scale()
	box := artwork.Rect{g.Box[0] + float64(here.Min.X)/scale, g.Box[3] - float64(here.Max.Y)/scale, g.Box[0] + float64(here.Max.X)/scale, g.Box[3] - float64(here.Min.Y)/scale}
	l.box = here
	for _, ground := range []*[]byte{&l.white, &l.black} {
		*ground = slices.Grow((*ground)[:0], here.Dx()*here.Dy())
		pdf, _, err := st.copy(ctx, of, box, func(b *builder) { b.cull, b.onBlack = &box, ground == &l.black })
		if err != nil {
			return nil, err
		}
		sheet, err := st.set.renderer.Open(pdf)
		if err != nil {
			return nil, err
		}
		err = sheet.Bands(ctx, here.Dx(), here.Dy(), func(_ int, grey []byte) error {
			*ground = append(*ground, grey...)
			return nil
		})
		sheet.Close()
		if err != nil {
			return nil, err
		}
	}
	return l, nil
}
