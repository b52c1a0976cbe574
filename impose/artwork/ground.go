package artwork

import (
	"math"
	"slices"

	"quoin/geometry"
	"quoin/impose/ink"
)

// Ground is what lies in a box of a page: one flat colour, or who knows what.
type Ground struct {
	Flat bool
	Look [3]float64 // in sRGB, from 0 to 1; on white paper
}

// maxGrounds is how many boxes are looked at: the bits of a word.
const maxGrounds = 64

// Ground tells what lies in boxes of the label, as it is seen upright, from its
// leading left corner, without the page's white and varnish. A page whose trim is
// not of the label's size stands in its middle. It is found from the content alone,
// and no renderer is needed: what can't be told so for certain is not Flat.
func (p *Page) Ground(label geometry.Size, boxes []geometry.Box) []Ground {
	g := &ground{under: make([]Ground, len(boxes))}
	for _, b := range boxes[:min(len(boxes), maxGrounds)] {
		g.boxes = append(g.boxes, p.fromUpright(label, b).Outset(groundMargin/p.UserUnit))
		g.under[len(g.boxes)-1] = Ground{Flat: true, Look: [3]float64{1, 1, 1}}
	}
	// What a walk notes stays off the page.
	alone, found := &Page{
		File: p.File, Doc: p.Doc, Ref: p.Ref, Dict: p.Dict, Number: p.Number, Boxes: p.Boxes,
		Rotate: p.Rotate, UserUnit: p.UserUnit, Group: p.Group, OutputIntent: p.OutputIntent,
	}, &findings{}
	s := newScan(alone, found)
	s.ground = g
	if err := s.run(); err != nil || s.err != nil || slices.ContainsFunc(found.list, func(f Finding) bool { return f.Code == ScanIncomplete }) {
		clear(g.under)
	}
	return g.under
}

// groundMargin is what boxes grow by, in points: more than a curve and its chords
// are apart, and than a renderer's pixel.
const groundMargin = 0.5

// fromUpright is the inverse of Upright, for a label in whose middle the page is.
func (p *Page) fromUpright(label geometry.Size, b geometry.Box) Rect {
	size := p.Size()
	across, around := (size.Across-label.Across)/2, (size.Around-label.Around)/2
	height := p.uprightHeight()
	upright := Rect{
		(b.Min.Across + across).Points(), height - (b.Max.Around + around).Points(),
		(b.Max.Across + across).Points(), height - (b.Min.Around + around).Points(),
	}
	m := p.FormMatrix() // turned and scaled alike, so its inverse is easily told
	det := m[0]*m[3] - m[1]*m[2]
	back := Matrix{m[3] / det, -m[1] / det, -m[2] / det, m[0] / det, 0, 0}
	x, y := back.Apply(m[4], m[5])
	back[4], back[5] = -x, -y
	return back.Bounds(upright)
}

// ground follows what is painted in some boxes.
type ground struct {
	boxes []Rect
	under []Ground
	way   way // the current path

	clipOdd bool // the path is to be a clip by the even-odd rule
}

// lay notes that something is painted: how it lies to each box, and its look, if it
// is flat and covers what is beneath.
func (g *ground) lay(p *painter, lies func(box Rect) lie, look [3]float64, flat bool) {
	if p.hidden > 0 || p.masking > 0 || p.inCells > 0 {
		return // cells count with what they fill
	}
	for i, box := range g.boxes {
		if p.g.away>>i&1 == 1 {
			continue
		}
		how := across
		if !p.repeats {
			how = lies(box)
		}
		switch {
		case how == outside:
		case how == throughout && flat && p.g.loose>>i&1 == 0 && !p.g.sheer && p.g.normal:
			g.under[i] = Ground{true, look}
		default:
			g.under[i] = Ground{}
		}
	}
}

// build adds an operator to the current path.
func (g *ground) build(p *painter, op string, v []float64) {
	switch op {
	case "W", "W*":
		g.clipOdd = op == "W*"
	case "h", "s", "b", "b*":
		g.way.build("h", nil, p.g.ctm)
	default:
		g.way.build(op, operandsOf(op, v), p.g.ctm)
	}
	g.way.odd = op == "f*" || op == "B*" || op == "b*"
}

// operandsOf returns the operands that an operator takes (8.5.2): the last ones, and 0
// for what is missing.
func operandsOf(op string, v []float64) []float64 {
	n := 0
	switch op {
	case "m", "l":
		n = 2
	case "v", "y", "re":
		n = 4
	case "c":
		n = 6
	}
	if v = last(v, n); len(v) < n {
		v = append(v[:len(v):len(v)], make([]float64, n-len(v))...)
	}
	return v
}

// endPath notes that the current path is painted, or becomes a clip.
func (g *ground) endPath(p *painter, fill, stroke bool) {
	if fill {
		if look, flat, unseen := lookOf(p.scan, &p.g.fill); !unseen {
			g.lay(p, g.way.fill, look, flat && !p.g.overFill)
		}
	}
	if stroke {
		if _, _, unseen := lookOf(p.scan, &p.g.stroke); !unseen {
			reach := math.Abs(p.g.width) * p.g.ctm.scale() * miter / 2
			g.lay(p, func(box Rect) lie { return g.way.line(box.Outset(reach)) }, [3]float64{}, false)
		}
	}
	if p.clips && !p.repeats {
		g.way.odd = g.clipOdd
		g.clip(&p.g, &g.way)
	}
	g.way = way{}
}

// miter is how many line widths a corner reaches, as long as nobody says otherwise
// (8.4.3.5).
const miter = 10

// clip notes that what follows is cut to what a path encloses.
func (g *ground) clip(s *state, to *way) {
	for i, box := range g.boxes {
		switch to.fill(box) {
		case outside:
			s.away |= 1 << i
		case across:
			s.loose |= 1 << i
		}
	}
}

// rough notes that something is painted within a box, which is cut to the clip.
func (g *ground) rough(p *painter, bounds Rect) {
	if g != nil {
		g.lay(p, func(box Rect) lie {
			if bounds.meets(box) {
				return across
			}
			return outside
		}, [3]float64{}, false)
	}
}

// lookOf returns how a colour looks: flat if that is known; unseen where it is white or
// varnish alone, which pictures leave out.
func lookOf(s *scan, c *colour) (look [3]float64, flat, unseen bool) {
	sp := c.space
	if sp.family == spotSpace && !sp.all && len(c.values) == len(sp.inks) {
		seen := 0
		for _, u := range sp.inks {
			if u == nil {
				continue
			}
			kind := s.rules.Kind(s.rules.Name(u.name), s.kind())
			if kind != ink.White && kind != ink.Varnish {
				seen++
			}
		}
		if seen == 0 {
			return look, false, true
		}
		if seen < len(sp.inks) {
			return look, false, false
		}
	}
	look, flat = sp.look(c.values, 0)
	return look, flat, false
}

// look returns how a colour of the space looks, roughly; false where that isn't known.
func (sp *space) look(values []float64, depth int) (look [3]float64, known bool) {
	if sp == nil || len(values) != sp.n || depth > maxSpaceDepth {
		return look, false
	}
	switch {
	case sp.family == graySpace:
		return [3]float64{values[0], values[0], values[0]}, true
	case sp.family == rgbSpace && (sp.label == "DeviceRGB" || sp.label == "CalRGB" || sp.label == "ICC-based RGB"):
		return [3]float64(values), true
	case sp.family == cmykSpace:
		return ink.RGB([4]float64(values)), true
	case sp.family == spotSpace && sp.tint != nil && !sp.all:
		return sp.base.look(sp.tint.At(values...), depth+1)
	}
	return look, false
}
