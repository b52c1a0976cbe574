package artwork

import "quoin/impose/pdfobj"

// colour is a current colour: components in a space, or a pattern.
type colour struct {
	space   *space
	values  []float64 // nil: anything the space can make
	pattern *patternUse
}

// state is the graphics state, 8.4, as far as it decides what prints.
type state struct {
	ctm    Matrix
	clip   Rect // around the clipping path, in the page's space
	width  float64
	fill   colour
	stroke colour

	overFill, overStroke bool
	mode                 int64 // OPM
	normal               bool  // blend mode Normal

	font     *fontUse
	fontName pdfobj.Name // as Tf has it
	size     float64
	stretch  float64
	spacing  float64 // character and word spacing together, at most
	render   int64   // text rendering mode

	// For the boxes of a ground, by bits: the clip leaves nothing of them, or cuts
	// through them. Sheer: what is painted may let see what is beneath.
	away, loose uint64
	sheer       bool
}

func (s *scan) initialState(ctm Matrix) state {
	black := colour{space: plainSpace(s, graySpace, "DeviceGray", 1), values: []float64{0}}
	return state{ctm: ctm, clip: everywhere, width: 1, fill: black, stroke: black, normal: true, stretch: 1}
}

// stateChange is an ExtGState dictionary, 8.4.5. Nil fields change nothing.
type stateChange struct {
	Overprint
	normal *bool
	width  *float64
	font   *fontUse
	size   float64
	mask   pdfobj.Dict // a soft mask to set
	see    bool        // some alpha below 1, a blend mode or a mask
	solid  bool        // both alphas are 1, and neither blend mode nor mask is left
}

// Overprint is what an ExtGState changes of it (8.6.7). Nil fields change nothing.
type Overprint struct {
	Fill, Stroke *bool
	Mode         *int64 // OPM
}

// ReadOverprint takes OP, op and OPM from an ExtGState.
func ReadOverprint(doc *pdfobj.Document, d pdfobj.Dict) (o Overprint) {
	if v, ok := doc.Bool(d["OP"]); ok {
		o.Fill, o.Stroke = &v, &v // Table 58: op takes the value of OP where it is missing
	}
	if v, ok := doc.Bool(d["op"]); ok {
		o.Fill = &v
	}
	if v, ok := doc.Int(d["OPM"]); ok {
		o.Mode = &v
	}
	return o
}

// Apply makes the changes to the parameters of a graphics state.
func (o Overprint) Apply(fill, stroke *bool, mode *int64) {
	if o.Fill != nil {
		*fill = *o.Fill
	}
	if o.Stroke != nil {
		*stroke = *o.Stroke
	}
	if o.Mode != nil {
		*mode = *o.Mode
	}
}

// Transfers returns the keys by which an ExtGState has transfer functions, which
// change tones on the press.
func Transfers(doc *pdfobj.Document, d pdfobj.Dict) (keys []pdfobj.Name) {
	for _, key := range []pdfobj.Name{"TR", "TR2"} {
		if name := doc.Name(d[key]); d[key] != nil && name != "Identity" && name != "Default" {
			keys = append(keys, key)
		}
	}
	return keys
}

func (s *scan) readState(o pdfobj.Object, sc *scope) *stateChange {
	d := s.doc.Dict(o)
	c := &stateChange{Overprint: ReadOverprint(s.doc, d)}
	if v, ok := s.doc.Number(d["LW"]); ok {
		c.width = &v
	}
	c.solid = s.doc.Name(d["SMask"]) == "None" && s.doc.Name(d["BM"]) == "Normal"
	for _, key := range []pdfobj.Name{"ca", "CA"} {
		v, ok := s.doc.Number(d[key])
		if ok && v < 1 {
			c.see = true
		}
		c.solid = c.solid && ok && v >= 1
	}
	if d["BM"] != nil {
		mode := s.doc.Name(d["BM"])
		if list := s.doc.Array(d["BM"]); len(list) > 0 {
			mode = s.doc.Name(list[0])
		}
		normal := mode == "Normal" || mode == "Compatible"
		c.normal = &normal
		c.see = c.see || !normal
	}
	if mask := s.doc.Dict(d["SMask"]); mask != nil {
		c.mask = mask
		c.see = true
	}
	if list := s.doc.Array(d["Font"]); len(list) == 2 {
		c.font = fontOf(s, list[0])
		c.size, _ = s.doc.Number(list[1])
	}
	for _, key := range Transfers(s.doc, d) {
		s.found.add(TransferFunction, objectOf(o), "a transfer function changes tone values on the press (%s)", key)
	}
	if ht := s.doc.Dict(d["HT"]); ht != nil && ht["HalftoneName"] != nil {
		s.found.add(Halftone, objectOf(o), "the artwork asks for a halftone of its own by name")
	}
	return c
}

func (c *stateChange) apply(g *state) {
	c.Apply(&g.overFill, &g.overStroke, &g.mode)
	if c.normal != nil {
		g.normal = *c.normal
	}
	if c.width != nil {
		g.width = *c.width
	}
	g.sheer = g.sheer && !c.solid || c.see
	if c.font != nil {
		g.font, g.size = c.font, c.size
	}
}
