package plate

import (
	"bytes"
	"context"
	"crypto/sha256"
	"image"
	"io"
	"math"

	"quoin/impose/artwork"
	"quoin/impose/raster"
)

// A frame paints a few labels many times. Each of them is drawn once, finer than the
// frame: the renderer clips at whole pixels, which are large for the edge of a label.
// Then it is placed on whole pixels, which at the resolution of a frame moves an edge
// by less than a fifth of a millimetre and changes no area; what is painted beneath and
// above is drawn as on any page. To be placed like that, what is painted must be a line
// of what lies beneath, pixel by pixel, as it is in most blend modes: drawn on white and
// on black, two of its points are known.

// layer is what some paintings make of what lies beneath on the plates of a trio, for
// some box of the grid.
type layer struct {
	box          image.Rectangle
	white, black raster.Planes // what becomes of white and of black
}

// over paints a layer on rows of brightness that begin at y.
func (l *layer) over(planes raster.Planes, width, y int) {
	in := l.box.Intersect(image.Rect(0, y, width, y+len(planes[0])/width))
	for n, pixels := range planes {
		if l.white[n] == nil {
			continue
		}
		for row := in.Min.Y; row < in.Max.Y; row++ {
			from := (row-l.box.Min.Y)*l.box.Dx() - l.box.Min.X
			line := pixels[(row-y)*width : (row-y+1)*width]
			for x := in.Min.X; x < in.Max.X; x++ {
				white, black := int(l.white[n][from+x]), int(l.black[n][from+x])
				line[x] = byte(black + ((white-black)*int(line[x])+127)/255)
			}
		}
	}
}

// stamping is how the plates of a trio are put together.
type stamping struct {
	set   *Set
	trio  trio
	run   span
	paint []laid            // all paintings of the page's own content
	first map[string]int    // of each key
	drawn map[string]*layer // by key, at the place of the first
}

// stamping finds out whether a page is made of forms that repeat; nil if not.
func (s *Set) stamping(ctx context.Context, t trio) (*stamping, error) {
	if k, _ := s.Page.Doc.Bool(s.Page.Group["K"]); k {
		return nil, nil
	}
	b, err := s.builder(ctx, t)
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
	return &stamping{set: s, trio: t, run: run, paint: b.scout.paints, first: map[string]int{}, drawn: map[string]*layer{}}, nil
}

// drawStamped draws the plates of labels that repeat, and reports whether it did.
func (s *Set) drawStamped(ctx context.Context, t trio, take func(strip) error) (bool, error) {
	if s.noStamps || s.matrix != nil || !s.isLarge() {
		return false, nil
	}
	st, err := s.stamping(ctx, t)
	if st == nil || err != nil {
		return false, err
	}
	all := sha256.New()
	if bent, err := st.copies(ctx, all); err != nil || bent {
		return false, err
	}
	// A page that isn't stamped is never drawn 0 times as fine.
	return true, s.kept(ctx, t, 0, all, take, func(take func(strip) error) error { return st.draw(ctx, take) })
}

// copies writes all that the plates are drawn from, one after another, and says
// whether something blends that can't be placed.
func (st *stamping) copies(ctx context.Context, all io.Writer) (bent bool, err error) {
	spans := []span{{0, st.run.from}, {st.run.to, toTheEnd}}
	var places bytes.Buffer
	for n := st.run.from; n < st.run.to; n++ {
		p := st.paint[n]
		if _, known := st.first[p.key]; !known {
			st.first[p.key] = n
			spans = append(spans, span{n, n + 1})
		}
		places.WriteString(st.place(n).Min.String())
	}
	for _, one := range spans {
		pdf, b, err := st.copy(ctx, one, st.set.Grid.Box, func(*builder) {})
		if err != nil {
			return false, err
		}
		bent = bent || b.bent
		r, err := pdf.Reader()
		if err == nil {
			_, err = io.Copy(all, r)
		}
		pdf.Close()
		if err != nil {
			return false, err
		}
	}
	_, err = places.WriteTo(all)
	return bent, err
}

// copy writes the copy of some paintings on a part of the page.
func (st *stamping) copy(ctx context.Context, of span, box artwork.Rect, prepare func(*builder)) (*raster.Draft, *builder, error) {
	b, err := st.set.builder(ctx, st.trio)
	if err != nil {
		return nil, nil, err
	}
	b.span = &of
	prepare(b)
	pdf, err := b.build(box)
	return pdf, b, err
}

// place returns the pixels that a painting of the run lies in: those of the first of
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

// draw puts the plates together, part by part of the page and band by band of these.
func (st *stamping) draw(ctx context.Context, take func(strip) error) error {
	g := st.set.Grid
	rows := max(1, stampedPart/g.Width)
	n := g.Width * min(max(1, stampedBand/g.Width), g.Height)
	held := &held{raster.NewPlanes(n), raster.NewPlanes(n), raster.NewPlanes(n)}
	for y := 0; y < g.Height; y += rows {
		if err := st.part(ctx, image.Rect(0, y, g.Width, min(y+rows, g.Height)), held, take); err != nil {
			return err
		}
	}
	return nil
}

// stampedPart is how many pixels of such plates are drawn from copies that hold no
// more than lies there, and stampedBand how many of these at a time.
const (
	stampedPart = 1 << 20
	stampedBand = 1 << 18
)

// held is what a band is put together from: the band, and what lies above the labels.
type held struct{ band, white, black raster.Planes }

// part puts a part of the plates together: what lies beneath the labels, on white, the
// labels, and what lies above them, on white and on black.
func (st *stamping) part(ctx context.Context, part image.Rectangle, h *held, take func(strip) error) error {
	var sheets [3]*raster.Sheet
	for i, of := range []span{{0, st.run.from}, {st.run.to, toTheEnd}, {st.run.to, toTheEnd}} {
		var err error
		if sheets[i], err = st.open(ctx, of, part, i == 2); err != nil {
			return err
		}
		if sheets[i] != nil {
			defer sheets[i].Close()
		}
	}
	wide := part.Dx()
	for y, rows := part.Min.Y, len(h.band[0])/wide; y < part.Max.Y; y += rows {
		here := image.Rect(0, y, wide, min(y+rows, part.Max.Y))
		n := wide * here.Dy()
		band, above := h.band.First(n), &layer{here, h.white.First(n), h.black.First(n)}
		for i, to := range []raster.Planes{band, above.white, above.black} {
			if sheets[i] != nil {
				if err := sheets[i].Rows(ctx, wide, part.Dy(), y-part.Min.Y, to); err != nil {
					return err
				}
			} else if i == 0 {
				for _, pixels := range band {
					for i := range pixels {
						pixels[i] = 255
					}
				}
			}
		}
		if err := st.labels(ctx, here, band); err != nil {
			return err
		}
		if sheets[1] != nil {
			above.over(band, wide, y)
		}
		for _, pixels := range band {
			invert(pixels)
		}
		if err := take(strip{y, band[:len(st.trio)]}); err != nil {
			return err
		}
	}
	return nil
}

// labels lays the labels of the run on a band.
func (st *stamping) labels(ctx context.Context, here image.Rectangle, band raster.Planes) error {
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
		moved.over(band, here.Dx(), here.Min.Y)
	}
	return nil
}

// label draws a label of the run, each kind once.
func (st *stamping) label(ctx context.Context, n int) (*layer, error) {
	key := st.paint[n].key
	if l := st.drawn[key]; l != nil {
		return l, nil
	}
	first := st.first[key]
	l, err := st.layer(ctx, span{first, first + 1}, st.place(first), finer)
	st.drawn[key] = l
	return l, err
}

// layer draws some paintings on white and on black, so many times finer than the grid;
// nil for none.
func (st *stamping) layer(ctx context.Context, of span, here image.Rectangle, fine int) (*layer, error) {
	l, row := &layer{box: here}, make([]byte, 0, here.Dx())
	for _, to := range []*raster.Planes{&l.white, &l.black} {
		sheet, err := st.open(ctx, of, here, to == &l.black)
		if sheet == nil || err != nil {
			return nil, err
		}
		for n := range st.trio {
			to[n] = make([]byte, 0, here.Dx()*here.Dy())
		}
		err = sheet.Bands(ctx, fine*here.Dx(), fine*here.Dy(), func(_ int, band raster.Planes) error {
			for n := range st.trio {
				to[n] = append(to[n], coarser(band[n], here.Dx(), fine, row)...)
			}
			return nil
		})
		sheet.Close()
		if err != nil {
			return nil, err
		}
	}
	return l, nil
}

// open opens the copy of some paintings on a part of the page, on white or on black;
// nil for none.
func (st *stamping) open(ctx context.Context, of span, here image.Rectangle, onBlack bool) (*raster.Sheet, error) {
	if of.from == of.to || of.to == toTheEnd && of.from == len(st.paint) && len(st.set.Page.Appearances) == 0 {
		return nil, nil
	}
	g, scale := st.set.Grid, st.scale()
	box := artwork.Rect{g.Box[0] + float64(here.Min.X)/scale, g.Box[3] - float64(here.Max.Y)/scale, g.Box[0] + float64(here.Max.X)/scale, g.Box[3] - float64(here.Min.Y)/scale}
	pdf, _, err := st.copy(ctx, of, box, func(b *builder) { b.cull, b.onBlack = &box, onBlack })
	if err != nil {
		return nil, err
	}
	return st.set.renderer.Open(ctx, pdf)
}
