package plate

import (
	"fmt"
	"strconv"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// colour is a current colour: components in a space, or a pattern of it.
type colour struct {
	space   *space
	values  []float64
	pattern *pattern
}

// key differs between colours that look different on any plate.
func (c *colour) key() string {
	k := fmt.Sprint(c.space.id, c.values)
	if c.pattern != nil {
		k += fmt.Sprintf(" %p", c.pattern)
	}
	return k
}

// state is the graphics state as far as it decides about plates.
type state struct {
	fill, stroke         colour
	overFill, overStroke bool
	mode                 int64   // OPM
	alpha, strokeAlpha   float64 // ca, CA
	blend                pdfobj.Name
	font                 *type3 // nil for every other font
	size                 float64
	render               int            // Tr
	ctm                  artwork.Matrix // followed in the page's own content only
	clip                 *clip          // followed by a scout only
}

func newState(s *spaces) state {
	black := colour{space: s.plain(graySpace, "DeviceGray", 1), values: []float64{0}}
	return state{ctm: artwork.Matrix{1, 0, 0, 1, 0, 0}, fill: black, stroke: black, alpha: 1, strokeAlpha: 1, blend: "Normal"}
}

// key tells states apart in which inherited content may look different.
func (g *state) key() string {
	return fmt.Sprint(g.fill.key(), "|", g.stroke.key(), "|", g.overFill, g.overStroke, g.mode, g.opacity())
}

// seen is what the copy's content has set so far.
type seen struct {
	fill, stroke string // operators that set the colours
	alpha        opacity
}

// opacity is how the copy's content paints.
type opacity struct {
	fill, stroke float64 // ca, CA
	blend        pdfobj.Name
}

var opaque = opacity{1, 1, "Normal"}

// unset is what content starts with: black, opaque.
var unset = seen{alpha: opaque}

// paints tells whether a colour touches the plate.
func (b *builder) paints(c *colour, over bool, mode int64) bool {
	sp := c.space
	if sp.family == patternSpace {
		switch p := c.pattern; {
		case p == nil:
			return false
		case p.shading != nil:
			return b.paintsSpace(p.shading, over)
		case b.noTiling:
			return false
		case !p.coloured && sp.base != nil:
			return b.paints(&colour{space: sp.base, values: c.values}, over, mode)
		}
		return true
	}
	if sp.none() {
		return false
	}
	if !over && !b.isSilent(sp) {
		return true
	}
	amount, names := sp.tint(b.ink, c.values)
	if names && sp.direct && mode == 1 && amount == 0 {
		return false // 8.6.7: in mode 1 a component of 0 leaves its ink alone
	}
	return names
}

// paintsSpace tells whether an image or shading in a space touches the plate;
// overprint mode doesn't count there (11.7.4.5).
func (b *builder) paintsSpace(sp *space, over bool) bool {
	if sp.none() {
		return false
	}
	if !over && !b.isSilent(sp) {
		return true
	}
	for sp.family == indexedSpace && sp.base != nil {
		sp = sp.base
	}
	_, names := sp.tint(b.ink, nil)
	return names
}

// isSilent tells whether a space is of technical inks alone.
func (b *builder) isSilent(sp *space) bool {
	if sp.family != spotSpace {
		return false
	}
	for _, n := range sp.names {
		if !b.silent[n] && n != "None" {
			return false
		}
	}
	return true
}

// sync makes the copy's colours and opacity what the state asks for. What the
// plate must not see is painted with no opacity at all. In an isolated group
// that would leave a hole through which what lies beneath the group shows, where
// the press sees the group's own empty plate: there it is white and multiplies,
// which is CompatibleOverprint (11.7.4.3) with another name.
//
// Fill and stroke share a blend mode, so what uses only one of them says so.
func (g *state) sync(x *rewriter, uses uses) {
	b := x.b
	if x.uncoloured {
		return
	}
	want := g.opacity()
	fills := x.hidden == 0 && b.paints(&g.fill, g.overFill, g.mode)
	strokes := x.hidden == 0 && b.paints(&g.stroke, g.overStroke, g.mode)
	if fills {
		x.set(&x.seen.fill, x.colourOps(&g.fill, false))
	} else {
		want.fill = 0
	}
	if strokes {
		x.set(&x.seen.stroke, x.colourOps(&g.stroke, true))
	} else {
		want.stroke = 0
	}
	if x.isolated && x.hidden == 0 && !(uses&theFill != 0 && fills) && !(uses&theStroke != 0 && strokes) {
		want = g.opacity()
		want.blend = "Multiply"
		x.set(&x.seen.fill, "1 g\n")
		x.set(&x.seen.stroke, "1 G\n")
	}
	x.opacity(want)
}

// uses says which of the two colours something is painted in.
type uses uint8

const (
	theFill uses = 1 << iota
	theStroke
	both = theFill | theStroke
)

func (g *state) opacity() opacity { return opacity{g.alpha, g.strokeAlpha, g.blend} }

// set writes operators unless they are in force.
func (x *rewriter) set(was *string, ops string) {
	if *was != ops && ops != "" {
		*was = ops
		x.to.write(ops)
	}
}

func (x *rewriter) opacity(want opacity) {
	if want == x.seen.alpha {
		return
	}
	x.seen.alpha = want
	name := x.b.resource("ExtGState", "A", fmt.Sprint("alpha", want),
		pdfobj.Dict{"ca": pdfobj.Real(want.fill), "CA": pdfobj.Real(want.stroke), "BM": want.blend})
	x.to.write("/" + string(name) + " gs\n")
}

// colourOps gives the operators that set a colour as the plate sees it.
func (x *rewriter) colourOps(c *colour, stroke bool) string {
	b := x.b
	op, cs, scn := "g\n", " cs ", " scn\n"
	if stroke {
		op, cs, scn = "G\n", " CS ", " SCN\n"
	}
	if c.space.family != patternSpace {
		b.noteColour(c.space)
		amount, _ := c.space.tint(b.ink, c.values)
		if amount > 0 {
			b.inked = true
		}
		return grey(amount) + op
	}
	if c.pattern == nil {
		return ""
	}
	name, err := x.patternName(c.pattern)
	if err != nil {
		x.fail(err)
		return ""
	}
	if c.pattern.coloured || c.pattern.shading != nil || c.space.base == nil {
		return "/Pattern" + cs + "/" + string(name) + scn
	}
	amount, _ := c.space.base.tint(b.ink, c.values)
	if amount > 0 {
		b.inked = true
	}
	space := b.resource("ColorSpace", "U", "uncoloured", pdfobj.Array{pdfobj.Name("Pattern"), pdfobj.Name("DeviceGray")})
	return "/" + string(space) + cs + grey(amount) + "/" + string(name) + scn
}

func grey(amount float64) string {
	return strconv.FormatFloat(float64(pdfobj.Round(1-amount)), 'f', -1, 64) + " "
}

// noteColour tells colours whose plates only the RIP knows.
func (b *builder) noteColour(sp *space) {
	if b.ink.mask {
		return
	}
	for sp.family == indexedSpace && sp.base != nil {
		sp = sp.base
	}
	switch sp.family {
	case rgbSpace, labSpace:
		b.told.add("colours in "+sp.label, "the RIP turns them into inks by its own profiles; here all grey goes into black")
	case graySpace, cmykSpace:
		if sp.foreign {
			b.told.add("colours in "+sp.label, "a RIP that prints by another profile converts them; here their values are taken as they are")
		}
	case unknownSpace:
		b.told.add("colours in "+sp.label, "what inks they are is not known; they are left out")
	}
}
