package plate

import (
	"fmt"

	"quoin/impose/pdfobj"
)

// pattern is a pattern (8.7).
type pattern struct {
	id       int
	dict     pdfobj.Dict
	stream   *pdfobj.Stream // of a tiling pattern
	coloured bool
	shading  *space // the colour space of a shading pattern
	res      *resources
}

func (x *rewriter) findPattern(name pdfobj.Name) *pattern {
	o := x.res.find(x.b.doc, "Pattern", name)
	ref, isRef := o.(pdfobj.Ref)
	if p := x.b.patterns[ref]; isRef && p != nil {
		return p
	}
	d := x.b.doc.Dict(o)
	if d == nil {
		return nil
	}
	x.b.numbered++
	p := &pattern{id: x.b.numbered, dict: d, res: x.res}
	if kind, _ := x.b.doc.Int(d["PatternType"]); kind == 2 {
		p.shading = x.b.spaces.read(x.b.doc.Dict(d["Shading"])["ColorSpace"], x.res, 0)
	} else {
		p.stream = x.b.doc.Stream(o)
		paint, _ := x.b.doc.Int(d["PaintType"])
		p.coloured = paint != 2
		if p.stream == nil {
			return nil
		}
	}
	if isRef {
		x.b.patterns[ref] = p
	}
	return p
}

// patternName returns the copy's name of a pattern as the state has it painted.
func (x *rewriter) patternName(p *pattern) (pdfobj.Name, error) {
	b := x.b
	if p.shading != nil {
		return b.copyOnce("shading pattern", refOf(p), "", func() (pdfobj.Name, error) {
			return b.copyShadingPattern(p)
		})
	}
	// A cell starts from the state at the beginning of the content that the
	// pattern was defined for, not from that of the object it fills (8.7.3.1).
	g := newState(b.spaces)
	g.overFill, g.overStroke, g.mode = x.began.overFill, x.began.overStroke, x.began.mode
	return b.copyOnce("pattern", p.stream.Ref, fmt.Sprint(g.overFill, g.overStroke, g.mode), func() (pdfobj.Name, error) {
		return b.copyTiling(p, g, x.top)
	})
}

// refOf is where a pattern that is a stream stands; zero for the others.
func refOf(p *pattern) pdfobj.Ref {
	if p.stream == nil {
		return pdfobj.Ref{}
	}
	return p.stream.Ref
}

// copyTiling copies a tiling pattern, which the page's own content paints with or
// some other does.
func (b *builder) copyTiling(p *pattern, g state, ofPage bool) (pdfobj.Name, error) {
	if !b.enter(p.stream.Ref) {
		return "", nil
	}
	defer b.exit(p.stream.Ref)
	inner := newRewriter(b, b.scope(p.dict["Resources"], p.res), g)
	inner.uncoloured, inner.grouped = !p.coloured, true
	inner.sync()
	if err := inner.run(p.stream); err != nil {
		return "", err
	}
	dict := pdfobj.Dict{"Type": pdfobj.Name("Pattern"), "PatternType": pdfobj.Integer(1), "Resources": b.resources}
	for _, key := range []pdfobj.Name{"BBox", "Matrix", "XStep", "YStep", "PaintType", "TilingType"} {
		if v := b.plain(p.dict[key]); v != nil {
			dict[key] = v
		}
	}
	for range inner.depth {
		inner.to.write("Q\n")
	}
	cell := inner.to
	if large, ok := newLargeCell(b.page, p, int(cell.size())); ok && ofPage && !b.smallCells {
		content, err := cell.read()
		if err != nil {
			return "", err
		}
		cell = &output{none: b.looks}
		large.write(cell, content)
		large.describe(dict)
	} else { // in a form of any size
		b.snaps = true
	}
	ref, err := b.stream(dict, cell)
	if err != nil {
		return "", err
	}
	return b.resource("Pattern", "P", "", ref), nil
}

// plain resolves a number or an array of numbers.
func (b *builder) plain(o pdfobj.Object) pdfobj.Object {
	if v, ok := b.doc.Numbers(o); ok {
		return reals(v)
	}
	if v, ok := b.doc.Number(o); ok {
		if n, ok := b.doc.Int(o); ok {
			return pdfobj.Integer(n)
		}
		return pdfobj.Real(v)
	}
	return nil
}

func (b *builder) copyShadingPattern(p *pattern) (pdfobj.Name, error) {
	shading, err := b.copyShading(p.dict["Shading"], p.shading)
	if err != nil {
		return "", err
	}
	dict := pdfobj.Dict{"Type": pdfobj.Name("Pattern"), "PatternType": pdfobj.Integer(2), "Shading": shading}
	if m := b.plain(p.dict["Matrix"]); m != nil {
		dict["Matrix"] = m
	}
	return b.resource("Pattern", "P", "", dict), nil
}

// copyShading copies a shading (8.7.4.5) in the substitute of its space; its
// functions and data stay as they are.
func (b *builder) copyShading(o pdfobj.Object, sp *space) (pdfobj.Object, error) {
	b.noteColour(sp)
	b.noteSpaceInk(sp)
	if b.looks {
		return nil, nil
	}
	space, err := b.substitutes.of(sp)
	if err != nil {
		return nil, err
	}
	v, _ := b.doc.Resolve(o)
	switch s := v.(type) {
	case pdfobj.Dict:
		dict := s.Clone()
		dict["ColorSpace"] = pdfobj.Place(space)
		return b.copy(dict)
	case *pdfobj.Stream:
		copied := *s
		copied.Dict, copied.Ref = s.Dict.Clone(), pdfobj.Ref{}
		copied.Dict["ColorSpace"] = pdfobj.Place(space)
		return b.copy(&copied)
	}
	return nil, nil
}

// shade runs sh, which paints a shading over all of the clip.
func (x *rewriter) shade(name pdfobj.Name) {
	b := x.b
	o := x.res.find(b.doc, "Shading", name)
	d := b.doc.Dict(o)
	if d == nil || x.hidden > 0 || x.uncoloured {
		return
	}
	sp := b.spaces.read(d["ColorSpace"], x.res, 0)
	touched := b.touchedBy(sp, x.g.overFill)
	if touched == 0 {
		return
	}
	x.part(touched, ^touched)
	ref, _ := o.(pdfobj.Ref)
	copied, err := b.copyOnce("shading", ref, "", func() (pdfobj.Name, error) {
		shading, err := b.copyShading(o, sp)
		if err != nil {
			return "", err
		}
		return b.resource("Shading", "S", "", shading), nil
	})
	if err != nil {
		x.fail(err)
		return
	}
	x.opacity(x.g.opacity())
	x.to.write("/" + string(copied) + " sh\n")
	x.sync()
}
