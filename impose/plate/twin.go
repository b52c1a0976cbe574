package plate

import (
	"bytes"
	"context"
	"image"
	"io"
	"math"

	"quoin/impose/artwork"
	"quoin/impose/raster"
)

// twins finds the stations of a frame that are the same on one plate as another
// that has been compared: they paint the same form, at the same place in their
// clip, and nothing else is painted on them but where the engine paints, which is
// compared on no station. Its methods may be called on nil, which knows nothing.
type twins struct {
	st       *stamping
	painted  []bool // pixels of the frame on which something besides labels is painted
	bare     []byte // the frame without its labels, 0 is black
	compared map[sameness][]mask
}

// sameness is what two stations that are the same have alike: the form that is painted,
// how, and where in their clip, to a tenth of a micrometre.
type sameness struct {
	form    string
	page    *artwork.Page
	turn    int
	outline bool
	at      [2]int64
	boxes   [4][3]int64
}

// mask is the pixels of a station on which the engine paints.
type mask struct {
	size image.Point
	bits []bool
}

// lookAround looks at what a frame paints besides its labels; nil if it isn't made of
// forms that repeat, or is too large to be looked at.
func (p *prover) lookAround(ctx context.Context, of Ink) (*twins, error) {
	page := p.frame.Page
	set := &Set{Page: page, Inks: []Ink{of}, Grid: NewGrid(page, page.Boxes.Media, p.perPoint*72), renderer: p.r,
		spaces: p.space(page, nil), digests: p.digests, rough: true, asDrawn: true}
	if page.UserUnit != 1 || set.Grid.Pixels() > maxTotals {
		return nil, nil
	}
	st, err := set.stamping(ctx, trio{0})
	if st == nil || err != nil {
		return nil, err
	}
	if bent, err := st.copies(ctx, io.Discard); bent || err != nil {
		return nil, err
	}
	w := &twins{st: st, painted: make([]bool, set.Grid.Pixels()), bare: bytes.Repeat([]byte{255}, set.Grid.Pixels()), compared: map[sameness][]mask{}}
	for _, of := range []span{{0, st.run.from}, {st.run.to, toTheEnd}} {
		l, err := st.layer(ctx, of, image.Rect(0, 0, set.Grid.Width, set.Grid.Height), 1)
		if err != nil {
			return nil, err
		}
		if l == nil {
			continue
		}
		for i := range w.painted { // what changes neither white nor black changes nothing between them
			w.painted[i] = w.painted[i] || l.white[0][i] != 255 || l.black[0][i] != 0
		}
		l.over(raster.Planes{w.bare}, set.Grid.Width, 0)
	}
	return w, nil
}

// paints reports whether something besides labels is painted on a box of the
// frame or within a pixel of it. Of a frame that isn't known it is.
func (w *twins) paints(box artwork.Rect) bool {
	if w == nil {
		return true
	}
	in := w.pixels(box).Inset(-1).Intersect(image.Rect(0, 0, w.st.set.Grid.Width, w.st.set.Grid.Height))
	for y := in.Min.Y; y < in.Max.Y; y++ {
		for _, is := range w.painted[y*w.st.set.Grid.Width:][in.Min.X:in.Max.X] {
			if is {
				return true
			}
		}
	}
	return false
}

// pixels returns those that a box of the frame lies on.
func (w *twins) pixels(box artwork.Rect) image.Rectangle {
	g, scale := w.st.set.Grid, w.st.scale()
	return image.Rect(
		int(math.Floor((box[0]-g.Box[0])*scale)), int(math.Floor((g.Box[3]-box[3])*scale)),
		int(math.Ceil((box[2]-g.Box[0])*scale)), int(math.Ceil((g.Box[3]-box[1])*scale)))
}

// known reports whether a station is the same as one that it was asked about
// before and didn't know: wherever it is to be compared, that one was.
func (w *twins) known(p *prover, s Station) bool {
	if w == nil {
		return false
	}
	own := w.only(s.Clip)
	if own == nil {
		return false
	}
	here, ok := w.mask(p, s.Clip)
	if !ok {
		return false
	}
	// A tenth of a micrometre is more than the last written digits move.
	near := func(v, from float64) int64 { return int64(math.Round((v - from) / .0003)) }
	key := sameness{form: own.key, page: s.Page, turn: s.Turn, outline: s.Outline, at: [2]int64{near(own.at[0], s.Clip[0]), near(own.at[1], s.Clip[1])}}
	for i, from := range []float64{s.Clip[0], s.Clip[1], s.Clip[0], s.Clip[1]} {
		key.boxes[i] = [3]int64{near(s.Trim[i], from), near(s.Clip[i], from), near(own.box[i], from)}
	}
	for _, there := range w.compared[key] {
		if there.within(here) {
			return true
		}
	}
	w.compared[key] = append(w.compared[key], here)
	return false
}

// only returns the one label that is painted in a box; nil if there are more or none.
func (w *twins) only(clip artwork.Rect) (own *laid) {
	for n := w.st.run.from; n < w.st.run.to; n++ {
		one := &w.st.paint[n]
		if in := one.box.Intersect(clip); in.Empty() || in.Width() < 1e-3 || in.Height() < 1e-3 {
			continue
		}
		if own != nil {
			return nil
		}
		own = one
	}
	return own
}

// mask returns what besides its label is painted within a clip, and reports whether
// the engine alone paints there.
func (w *twins) mask(p *prover, clip artwork.Rect) (mask, bool) {
	g := w.st.set.Grid
	in := w.pixels(clip).Inset(1)
	engine := p.masks(artwork.Rect{g.Box[0], clip[1], clip[2], g.Box[3]}, w.st.set.Inks[0].Name)
	m := mask{size: in.Size()}
	for y := in.Min.Y; y < in.Max.Y; y++ {
		for x := in.Min.X; x < in.Max.X; x++ {
			is := w.painted[y*g.Width+x]
			if is && !covered(engine, image.Rect(x, y, x+1, y+1)) {
				return mask{}, false
			}
			m.bits = append(m.bits, is)
		}
	}
	return m, true
}

// within reports whether each pixel of a mask is one of another but for the pixel
// by which their edges are rounded.
func (m mask) within(o mask) bool {
	for i, is := range m.bits {
		if is && !o.near(i%m.size.X, i/m.size.X) {
			return false
		}
	}
	return true
}

// near reports whether a pixel or one beside it is in a mask.
func (m mask) near(x, y int) bool {
	in := image.Rect(x-1, y-1, x+2, y+2).Intersect(image.Rectangle{Max: m.size})
	for y := in.Min.Y; y < in.Max.Y; y++ {
		for x := in.Min.X; x < in.Max.X; x++ {
			if m.bits[y*m.size.X+x] {
				return true
			}
		}
	}
	return false
}
