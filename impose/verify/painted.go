package verify

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"quoin/impose/pdfobj"
	"quoin/impose/say"
)

// painted is one thing that a frame's content paints, in painting order.
type painted struct {
	what      string // label, fill, stroke, text, or what has no business there
	box       box    // over all points of a path, within the clip
	parts     []box  // of each part of a path: what it really covers, with its line
	path      trace
	line      float64
	inks      []tint // of a fill or stroke, without those of 0 %
	overprint bool
	layer     string      // the innermost layer's name among the resources; "" for none
	mask      pdfobj.Dict // of a cover: the soft mask that it is painted through
	state     string      // what of the graphics state changes it beyond its colour and line; "" if nothing

	matrix matrix // of an artwork or a cover

	// Of an artwork.
	form    pdfobj.Ref
	clip    box
	clipped bool  // the clip is one rectangle
	around  trace // the path of the clip that was set last
}

// graphics is the part of the graphics state that can change what an artwork or
// a mark looks like.
type graphics struct {
	ctm          matrix
	mask         pdfobj.Dict
	clip         box
	rectangle    bool  // the clip is the box itself
	around       trace // the path of the last clip
	fill, stroke colour
	line         float64
	params       []string
	font         pdfobj.Name
	size         float64
	leading      float64
	rise         float64
	spacing      float64
	wordSpacing  float64
	stretch      float64
	over         bool // overprint of fills
	overStroke   bool
}

// colour is a colour space by its inks.
type colour struct {
	space string // what can't be told by inks: DeviceGray, Pattern...; "" otherwise
	names []string
	tints []tint
}

// initial is the colour that every page begins with, and every artwork.
var initial = colour{space: "DeviceGray 0"}

// everywhere is the clip of a glyph.
var everywhere = box{math.Inf(-1), math.Inf(-1), math.Inf(1), math.Inf(1)}

func begin(clip box) graphics {
	return graphics{
		ctm: identity, clip: clip, rectangle: true,
		fill: initial, stroke: initial, line: 1, stretch: 1,
	}
}

// plain are the values that graphics state parameters begin with (ISO 32000-1
// tables 52, 53 and 58).
var plain = map[pdfobj.Name]string{
	"OP": "false", "op": "false", "OPM": "0", "CA": "1", "ca": "1", "BM": "/Normal", "SMask": "/None",
	"AIS": "false", "TK": "true", "SA": "false", "LW": "1", "LC": "0", "LJ": "0", "ML": "10", "D": "[[]0]",
	"RI": "/RelativeColorimetric", "TR2": "/Default", "BG2": "/Default", "UCR2": "/Default", "HT": "/Default",
}

// set takes a parameter of the graphics state.
func (g *graphics) set(doc *pdfobj.Document, key pdfobj.Name, value pdfobj.Object) {
	v, _ := doc.Resolve(value)
	if n, ok := number(v); ok {
		v = pdfobj.Real(n)
	}
	text := shown(v)
	switch key {
	case "LW":
		g.line, _ = number(v)
	case "SMask":
		g.mask, _ = v.(pdfobj.Dict)
	case "op":
		g.over = text == "true"
	case "OP":
		g.overStroke = text == "true"
	}
	g.params = slices.DeleteFunc(slices.Clone(g.params), func(s string) bool { return strings.HasPrefix(s, string(key)+" ") })
	if text != plain[key] {
		g.params = append(g.params, string(key)+" "+text)
		slices.Sort(g.params)
	}
}

// state tells what an artwork would inherit that it must not.
func (g *graphics) state() string {
	list := slices.Clone(g.params)
	if g.fill.String() != initial.String() {
		list = append(list, "the fill colour "+g.fill.String())
	}
	if g.stroke.String() != initial.String() {
		list = append(list, "the stroke colour "+g.stroke.String())
	}
	return strings.Join(list, ", ")
}

// effects tells what else changes how a mark looks: alpha, blend modes, dashes
// and the like. Its line, overprint and soft mask are told by themselves;
// overprint mode 1
// means nothing without overprint.
func (g *graphics) effects(over bool) string {
	var list []string
	for _, p := range g.params {
		key, value, _ := strings.Cut(p, " ")
		if key == "LW" || key == "SMask" && g.mask != nil || key == "op" || key == "OP" || key == "OPM" && (value == "1" || !over) {
			continue
		}
		list = append(list, p)
	}
	return strings.Join(list, ", ")
}

// use returns the tints that a colour paints.
func (c colour) use() []tint {
	if c.space != "" {
		return []tint{{c.space, 100}}
	}
	return c.tints
}

// String returns the colour for people.
func (c colour) String() string {
	if c.space != "" {
		return c.space
	}
	return inkText(c.tints)
}

// inkText lists tints for people, in a fixed order.
func inkText(list []tint) string {
	words := make([]string, 0, len(list))
	for _, t := range list {
		words = append(words, fmt.Sprintf("%s %s %%", t.Ink, say.Rough(t.Percent, 4)))
	}
	slices.Sort(words)
	if len(words) == 0 {
		return "no ink"
	}
	return strings.Join(words, " + ")
}

// sameInks reports whether two lists of tints paint the same; 0 % paints nothing.
func sameInks(a, b []tint) bool {
	amounts := map[string]float64{}
	for _, t := range a {
		amounts[t.Ink] += t.Percent
	}
	for _, t := range b {
		amounts[t.Ink] -= t.Percent
	}
	for _, left := range amounts {
		if math.Abs(left) > 0.01 { // percent: a tenth of the 8 bits that a RIP renders
			return false
		}
	}
	return true
}
