package plate

import (
	"fmt"
	"strconv"
	"strings"

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
		k += fmt.Sprint(" ", c.pattern.id)
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
	mixed        bool // some plates see a colour that others don't: only painting says what is set
}

// opacity is how the copy's content paints.
type opacity struct {
	fill, stroke float64 // ca, CA
	blend        pdfobj.Name
}

var opaque = opacity{1, 1, "Normal"}

// unset is what content starts with: black, opaque.
var unset = seen{alpha: opaque}

// touched returns the plates that a colour touches.
func (in *inking) touched(c *colour, over bool, mode int64) plates {
	sp := c.space
	if sp.family == patternSpace {
		switch p := c.pattern; {
		case p == nil:
			return 0
		case p.shading != nil:
			return in.touchedBy(p.shading, over)
		case in.noTiling:
			return 0
		case !p.coloured && sp.base != nil:
			return in.touched(&colour{space: sp.base, values: c.values}, over, mode)
		}
		return in.all()
	}
	if sp.none() {
		return 0
	}
	if !over && !in.isSilent(sp) {
		return in.all()
	}
	return in.those(func(k Ink) bool {
		amount, names := sp.tint(k, c.values)
		// 8.6.7: in mode 1 a component of 0 leaves its ink alone
		return names && !(sp.direct && mode == 1 && amount == 0)
	})
}

// touchedBy returns the plates that an image or shading in a space touches; overprint
// mode doesn't count there (11.7.4.5).
func (in *inking) touchedBy(sp *space, over bool) plates {
	if sp.none() {
		return 0
	}
	if !over && !in.isSilent(sp) {
		return in.all()
	}
	for sp.family == indexedSpace && sp.base != nil {
		sp = sp.base
	}
	return in.those(func(k Ink) bool {
		_, names := sp.tint(k, nil)
		return names
	})
}

// isSilent reports whether a space is of technical inks alone.
func (in *inking) isSilent(sp *space) bool {
	if sp.family != spotSpace {
		return false
	}
	for _, n := range sp.names {
		if !in.silent[n] && n != "None" {
			return false
		}
	}
	return true
}

// sync makes the copy's colours and opacity what the state asks for, before something
// is painted or, if all plates see the same, at once. What the plates must not see is
// painted with no opacity at all. In an isolated group that would leave a hole through
// which what lies beneath the group shows, where the press sees the group's own empty
// plate: there it is white and multiplies, which is CompatibleOverprint (11.7.4.3) with
// another name. What only some of the plates see multiplies too: see mix.
//
// Fill and stroke share a blend mode, so what uses only one of them says so.
func (g *state) sync(x *rewriter, uses uses, paints bool) {
	b := x.b
	if x.uncoloured {
		return
	}
	var fills, strokes plates
	if x.hidden == 0 {
		fills, strokes = b.touched(&g.fill, g.overFill, g.mode), b.touched(&g.stroke, g.overStroke, g.mode)
	}
	if x.seen.mixed = b.mixed(fills) || b.mixed(strokes); x.seen.mixed {
		if !paints {
			return
		}
		if uses&theFill == 0 {
			fills = 0
		}
		if uses&theStroke == 0 {
			strokes = 0
		}
	}
	want := g.opacity()
	if b.mixed(fills) || b.mixed(strokes) {
		x.mix(g, fills, strokes)
		want.blend = "Multiply"
	}
	if x.isolated && x.hidden == 0 && !(uses&theFill != 0 && fills != 0) && !(uses&theStroke != 0 && strokes != 0) {
		want.blend = "Multiply"
		x.set(&x.seen.fill, "1 g\n")
		x.set(&x.seen.stroke, "1 G\n")
		x.opacity(want)
		return
	}
	if fills != 0 {
		x.set(&x.seen.fill, x.colourOps(&g.fill, fills, false))
	} else {
		want.fill = 0
	}
	if strokes != 0 {
		x.set(&x.seen.stroke, x.colourOps(&g.stroke, strokes, true))
	} else {
		want.stroke = 0
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

// colourOps returns the operators that set a colour as some plates see it; the others
// see white.
func (x *rewriter) colourOps(c *colour, on plates, stroke bool) string {
	b := x.b
	cs, scn := " cs ", " scn\n"
	if stroke {
		cs, scn = " CS ", " SCN\n"
	}
	if c.space.family != patternSpace {
		b.noteColour(c.space)
		return b.tone(c.space, c.values, on).paint(stroke)
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
	space := b.resource("ColorSpace", "U", "uncoloured", pdfobj.Array{pdfobj.Name("Pattern"), b.device()})
	return "/" + string(space) + cs + b.tone(c.space.base, c.values, on).String() + "/" + string(name) + scn
}

// tone is the brightness of a colour in the copy: grey, or red, green and blue.
type tone []float64

// tone returns that of a colour on some plates, white on the others.
func (in *inking) tone(sp *space, values []float64, on plates) tone {
	t := tone{1}
	if len(in.inks) > 1 {
		t = tone{1, 1, 1}
	}
	for i, k := range in.inks {
		if on>>i&1 == 0 {
			continue
		}
		amount, _ := sp.tint(k, values)
		if amount > 0 {
			in.inked |= 1 << i
		}
		if !in.looks { // then there are more than three
			t[i] = brightness(amount)
		}
	}
	return t
}

// brightness returns how bright a tint is.
func brightness(amount float64) float64 { return float64(pdfobj.Round(1 - amount)) }

// String returns the operands of a colour operator.
func (t tone) String() string {
	text := ""
	for _, v := range t {
		text += strconv.FormatFloat(v, 'f', -1, 64) + " "
	}
	return text
}

// paint returns the operator that sets the tone.
func (t tone) paint(stroke bool) string {
	op := "rg\n"
	if len(t) == 1 || t[0] == t[1] && t[1] == t[2] {
		t, op = t[:1], "g\n"
	}
	if stroke {
		op = strings.ToUpper(op)
	}
	return t.String() + op
}

// noteColour tells colours whose plates only the RIP knows.
func (b *builder) noteColour(sp *space) {
	if b.mask() {
		return
	}
	for sp.family == indexedSpace && sp.base != nil {
		sp = sp.base
	}
	switch sp.family {
	case rgbSpace, labSpace:
		b.told.note("colours in "+sp.label, "the RIP turns them into inks by its own profiles; here all grey goes into black")
	case graySpace, cmykSpace:
		if sp.foreign {
			b.told.note("colours in "+sp.label, "a RIP that prints by another profile converts them; here their values are taken as they are")
		}
	case unknownSpace:
		b.told.note("colours in "+sp.label, "what inks they are is not known; they are left out")
	}
}
