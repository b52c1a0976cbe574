package plate

import (
	"fmt"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// stateChange is an ExtGState (8.4.5) as one plate sees it: what decides about
// overprint and opacity is followed, the rest is passed on.
type stateChange struct {
	artwork.Overprint
	alpha, strokeAlpha *float64
	blend              pdfobj.Name // "" changes nothing
	font               pdfobj.Array
	name               pdfobj.Name // of what is passed on; "" if nothing is
	err                error
}

// passed are the keys that are passed on as they are.
var passed = []pdfobj.Name{"LW", "LC", "LJ", "ML", "D", "FL", "SA", "AIS", "TK"}

func (x *rewriter) setState(name pdfobj.Name) {
	o := x.res.find(x.b.doc, "ExtGState", name)
	ref, isRef := o.(pdfobj.Ref)
	c := x.b.states[ref]
	if !isRef || c == nil {
		c = x.readState(x.b.doc.Dict(o))
		if isRef {
			x.b.states[ref] = c
		}
	}
	if c.err != nil {
		x.fail(c.err)
		return
	}
	g := &x.g
	c.Apply(&g.overFill, &g.overStroke, &g.mode)
	if c.alpha != nil {
		g.alpha = *c.alpha
	}
	if c.strokeAlpha != nil {
		g.strokeAlpha = *c.strokeAlpha
	}
	if c.blend != "" {
		g.blend = c.blend
		x.b.bent = x.b.bent || !affine[c.blend] && !x.isolated
	}
	if c.name != "" {
		x.to.write("/" + string(c.name) + " gs\n")
	}
	if len(c.font) == 2 {
		size, _ := x.b.doc.Number(c.font[1])
		useFont(x, c.font[0], size)
	}
	x.sync()
}

func (x *rewriter) readState(d pdfobj.Dict) *stateChange {
	b := x.b
	c := &stateChange{Overprint: artwork.ReadOverprint(b.doc, d)}
	if v, ok := b.doc.Number(d["ca"]); ok {
		v = min(max(v, 0), 1)
		c.alpha = &v
	}
	if v, ok := b.doc.Number(d["CA"]); ok {
		v = min(max(v, 0), 1)
		c.strokeAlpha = &v
	}
	c.font = b.doc.Array(d["Font"])
	if len(artwork.Transfers(b.doc, d)) > 0 {
		b.told.note("transfer functions", "they change tone values in the RIP, not here")
	}
	out := pdfobj.Dict{}
	for _, key := range passed {
		if v, _ := b.doc.Resolve(d[key]); v != nil {
			out[key] = v
		}
	}
	if d["BM"] != nil {
		c.blend = x.blend(d["BM"])
	}
	if mask := d["SMask"]; mask != nil {
		out["SMask"], c.err = b.softMask(mask, x.res)
	}
	if len(out) > 0 {
		placed, err := b.copy(out)
		if c.err == nil {
			c.err = err
		}
		c.name = b.resource("ExtGState", "E", "", placed)
	}
	return c
}

// The blend modes of 11.3.5: those that work on each ink by itself, and those
// of them that spots don't take because they don't keep white (11.7.4.2).
var (
	separable = map[pdfobj.Name]bool{
		"Normal": true, "Compatible": true, "Multiply": true, "Screen": true, "Overlay": true, "Darken": true, "Lighten": true,
		"ColorDodge": true, "ColorBurn": true, "HardLight": true, "SoftLight": true, "Difference": true, "Exclusion": true,
	}
	// affine are those by which what is seen is a line of what lies beneath.
	affine      = map[pdfobj.Name]bool{"Normal": true, "Compatible": true, "Multiply": true, "Screen": true, "HardLight": true, "Exclusion": true}
	notForSpots = map[pdfobj.Name]bool{"Difference": true, "Exclusion": true}
)

// blend returns the blend mode that the plates take.
func (x *rewriter) blend(o pdfobj.Object) pdfobj.Name {
	b := x.b
	spots := b.those(func(k Ink) bool { return k.process < 0 })
	mode := b.doc.Name(o)
	for _, one := range b.doc.Array(o) { // the first that is known
		if mode = b.doc.Name(one); separable[mode] || nonSeparable[mode] {
			break
		}
	}
	switch {
	case nonSeparable[mode]:
		if spots != b.all() {
			b.told.note(fmt.Sprintf("blend mode %s", mode), "it mixes the process inks with each other; each is drawn by itself")
		}
		return "Normal"
	case !separable[mode], notForSpots[mode] && spots == b.all():
		return "Normal"
	case notForSpots[mode]:
		x.part(spots, ^spots)
	}
	return mode
}

var nonSeparable = map[pdfobj.Name]bool{"Hue": true, "Saturation": true, "Color": true, "Luminosity": true}

// softMask copies a soft mask (11.6.5.2). What its group paints is no ink: of a
// mask by luminosity the brightness counts, of the other only the shape.
func (b *builder) softMask(o pdfobj.Object, res *resources) (pdfobj.Object, error) {
	mask := b.doc.Dict(o)
	stream := b.doc.Stream(mask["G"])
	if stream == nil || b.looks {
		return pdfobj.Name("None"), nil
	}
	inner := b.forMask()
	group := b.doc.Dict(stream.Dict["Group"])
	x := newRewriter(inner, res, newState(b.spaces))
	if _, err := x.copyForm(stream, group, true, newState(b.spaces)); err != nil {
		return nil, err
	}
	out := pdfobj.Dict{"S": mask["S"], "G": pdfobj.Placed(inner.lastForm)}
	if tr := mask["TR"]; tr != nil {
		out["TR"] = tr
	}
	if bc, ok := b.doc.Numbers(mask["BC"]); ok && group["CS"] != nil {
		out["BC"] = pdfobj.Array{pdfobj.Real(luminosity(b.spaces.read(group["CS"], res, 0), bc))}
	}
	if err := b.w.Put(inner.resources, inner.shared); err != nil {
		return nil, err
	}
	return out, nil
}

// forMask returns a builder of the same file that paints brightness.
func (b *builder) forMask() *builder {
	inner := newParts(b.ctx, b.page, []Ink{{process: -1, mask: true}}, b.spaces, b.told)
	inner.w, inner.copier, inner.resources = b.w, b.copier, b.w.Alloc()
	inner.depth, inner.left = b.depth, b.left
	return inner
}
