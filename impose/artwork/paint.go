package artwork

import (
	"hash/fnv"
	"math"

	"quoin/impose/ink"
	"quoin/impose/pdfobj"
)

// enter notes that what follows belongs to optional content, 8.11.3.
func (s *scan) enter(group pdfobj.Object) (m mark) {
	if group == nil {
		return m
	}
	shows, named := s.page.File.layers.visible(group)
	for _, ref := range named {
		s.layers[ref] = true
	}
	if !shows {
		m.hidden = true
		s.hidden++
	}
	if step := s.page.File.layers.step(named); !step.IsZero() {
		m.stepped = true
		s.kinds = append(s.kinds, stepped{step, ink.StepKind(step.Group)})
	}
	return m
}

func (s *scan) leave(m mark) {
	if m.hidden {
		s.hidden--
	}
	if n := len(s.kinds); m.stepped && n > 0 {
		s.kinds = s.kinds[:n-1]
	}
}

// kind returns what the innermost step around says.
func (s *scan) kind() ink.Kind {
	if n := len(s.kinds); n > 0 {
		return s.kinds[n-1].kind
	}
	return ""
}

// paint notes that a colour is painted within bounds.
func (p *painter) paint(c *colour, bounds Rect, over bool, w what) {
	p.noteTiled(c.pattern)
	if p.masking > 0 {
		return
	}
	bounds = p.seen(bounds)
	if w&(paths|texts) == 0 { // those are told better
		p.ground.rough(p, bounds)
	}
	if c.space.family == patternSpace {
		p.paintPattern(c, bounds, over, w)
		return
	}
	p.paintSpace(c.space, c.values, bounds, over, w)
}

// seen returns what of bounds the clip leaves.
func (p *painter) seen(bounds Rect) Rect {
	if p.repeats {
		return p.g.clip
	}
	return bounds.Intersect(p.g.clip)
}

// paintSpace notes that a colour of a space is painted; values nil stands for
// every colour that the space has.
func (p *painter) paintSpace(sp *space, values []float64, bounds Rect, over bool, w what) {
	state := Used
	switch {
	case p.hidden > 0:
		state = Hidden
	case !bounds.meets(p.area):
		state = Outside
	}
	how := coating{space: sp, values: len(values), over: over, what: w, state: state, kind: p.kind(), mode: p.g.mode, rgb: p.blendRGB, in: p.in}
	if len(values) > 0 {
		how.first = &values[0]
	}
	if how.first == nil || how != p.last.coating {
		p.last = coat{coating: how}
		p.noteColour(sp, values, &p.last)
	}
	if state == Used && !p.last.technical {
		if bounds := bounds.Intersect(p.area); !bounds.Empty() {
			p.white.note(p.found, p.last.white, p.last.other, bounds, over || !p.g.normal)
		}
	}
}

// coat is what was painted with one colour and in what way. Large streams
// paint thousands of shapes in one.
type coat struct {
	coating
	white, other, technical bool // what it makes: white, other inks, a technical one alone
}

// coating is what decides what painting makes. A colour is known by where its
// values lie, as they are never changed.
type coating struct {
	space  *space
	first  *float64
	values int
	over   bool
	what   what
	state  State
	kind   ink.Kind
	mode   int64
	rgb    bool
	in     pdfobj.Ref
}

// noteColour notes all that doesn't depend on where a colour is painted.
func (p *painter) noteColour(sp *space, values []float64, now *coat) {
	noteUndefined(p.scan, sp, now.what)
	sp.amounts(values, func(u *inkUse) {
		u.note(now.state, now.what, now.kind)
		if p.isWhite(u, now.kind) {
			now.white = true
		} else {
			now.other = true
		}
	})
	if now.state != Used {
		return
	}
	noteSpace(p.scan, sp, now.what)
	if now.over {
		noteOverprint(p.scan, sp, values, p.g.mode)
	}
	now.technical = sp.isTechnical(p)
}

// isWhite reports whether an ink is white, by all that is known so far.
func (s *scan) isWhite(u *inkUse, kind ink.Kind) bool {
	return u.name != ink.Black && s.rules.Kind(s.rules.Name(u.name), kind) == ink.White
}

// isTechnical reports whether the space is that of a technical ink alone: a die
// line knocks nothing out, because it doesn't print.
func (sp *space) isTechnical(p *painter) bool {
	if sp.family != spotSpace || len(sp.inks) != 1 || sp.inks[0] == nil {
		return false
	}
	return p.rules.Kind(p.rules.Name(sp.inks[0].name), p.kind()) == ink.Technical
}

// checkLine finds lines too thin to print well: common practice, no source.
func (p *painter) checkLine(width float64, bounds Rect) {
	points := width * p.page.UserUnit
	if points >= thinnest || p.hidden > 0 || p.masking > 0 || !p.seen(bounds).meets(p.area) || p.g.stroke.space.isTechnical(p) {
		return
	}
	if width == 0 {
		p.found.page(Hairline, "a line has the width 0, which is as thin as the device can draw")
		return
	}
	if p.thin == 0 || points < p.thin {
		p.thin = points
	}
}

// thinnest is a quarter of a point, 0.088 mm.
const thinnest = 0.25

// sign returns a number that differs between colours, as good as always.
func (c *colour) sign() uint64 {
	h := fnv.New64a()
	h.Write([]byte(c.space.label))
	for _, u := range c.space.inks {
		if u != nil {
			h.Write([]byte(u.name))
		}
		h.Write([]byte{0})
	}
	for _, v := range c.values {
		b := byte(0) // only whether there is any ink counts, or RGB white
		if v > 0 {
			b = 1
		}
		if v >= 1 {
			b = 2
		}
		h.Write([]byte{b})
	}
	if c.pattern != nil {
		h.Write([]byte{byte(c.pattern.ref.Num), byte(c.pattern.ref.Num >> 8), byte(c.pattern.ref.Num >> 16)})
	}
	return h.Sum64()
}

// bucket returns one number to scales within 9 % of each other.
func bucket(scale float64) int8 {
	if !(scale > 0) {
		return -128
	}
	return int8(min(max(math.Round(8*math.Log2(scale)), -127), 127))
}
