package plate

import (
	"fmt"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// do paints an external object (8.8).
func (x *rewriter) do(name pdfobj.Name) {
	stream := x.b.doc.Stream(x.res.find(x.b.doc, "XObject", name))
	if stream == nil || x.hidden > 0 || !x.b.page.Shows(stream.Dict["OC"]) {
		return
	}
	switch x.b.doc.Name(stream.Dict["Subtype"]) {
	case "Image":
		copyImage(x, stream)
	case "PS":
	default:
		if err := x.form(stream); err != nil {
			x.fail(err)
		}
	}
}

// form paints a form XObject (8.10). The renderer starts each with a plain
// state, so the copy's content sets what it inherits by itself.
func (x *rewriter) form(stream *pdfobj.Stream) error {
	if stream == nil || x.culled(stream) {
		return nil
	}
	group := x.b.doc.Dict(stream.Dict["Group"])
	isGroup := x.b.doc.Name(group["S"]) == "Transparency"
	inherited := x.g
	if isGroup { // 11.6.6
		inherited.alpha, inherited.strokeAlpha, inherited.blend = 1, 1, "Normal"
	}
	own, _ := x.b.doc.Bool(group["I"])
	isolated := x.isolated || isGroup && own
	key := inherited.key() + fmt.Sprint(x.uncoloured, isolated, x.grouped)
	name, err := x.b.copyOnce("form", stream.Ref, key, func() (pdfobj.Name, error) {
		return x.copyForm(stream, group, isolated, inherited)
	})
	if err != nil || name == "" {
		return err
	}
	if isGroup {
		x.opacity(x.g.opacity())
	} else {
		x.opacity(opaque)
	}
	x.to.write("/" + string(name) + " Do\n")
	x.sync()
	return nil
}

func (x *rewriter) copyForm(stream *pdfobj.Stream, group pdfobj.Dict, isolated bool, g state) (pdfobj.Name, error) {
	b := x.b
	if !b.enter(stream.Ref) {
		return "", nil
	}
	defer b.exit(stream.Ref)
	inner := newRewriter(b, b.scope(stream.Dict["Resources"], x.res), g)
	isGroup := b.doc.Name(group["S"]) == "Transparency"
	own, _ := b.doc.Bool(group["I"])
	inner.uncoloured, inner.isolated, inner.grouped, inner.glyph = x.uncoloured, isolated, x.grouped || isGroup && !own, x.glyph
	if isGroup {
		b.noteGroup(group, inner.res, "a group")
	}
	inner.sync()
	if err := inner.run(stream); err != nil {
		return "", err
	}
	dict := pdfobj.Dict{"Type": pdfobj.Name("XObject"), "Subtype": pdfobj.Name("Form"), "Resources": b.resources}
	for _, key := range []pdfobj.Name{"BBox", "Matrix"} {
		if v, ok := b.doc.Numbers(stream.Dict[key]); ok {
			dict[key] = reals(v)
		}
	}
	if isGroup {
		dict["Group"] = b.group(group)
	}
	ref, err := b.stream(dict, inner.to)
	if err != nil {
		return "", err
	}
	b.lastForm = ref
	return b.resource("XObject", "X", "", ref), nil
}

func reals(v []float64) pdfobj.Array {
	a := make(pdfobj.Array, len(v))
	for i, n := range v {
		a[i] = pdfobj.Real(n)
	}
	return a
}

// concat returns the matrix of a cm operator before another.
func concat(args []pdfobj.Object, n artwork.Matrix) artwork.Matrix {
	var m artwork.Matrix
	for i := range m {
		m[i] = pdfobj.NumberAt(args, i)
	}
	return m.Then(n)
}

// culled reports whether a form of the page lies outside of what is to be drawn:
// the renderer keeps what every painting of a form draws, so that a frame of
// seventy labels takes seventy times the memory of one.
func (x *rewriter) culled(stream *pdfobj.Stream) bool {
	if !x.top || x.b.cull == nil {
		return false
	}
	box, ok := x.b.bounds(stream, x.g.ctm)
	return ok && box.Intersect(*x.b.cull).Empty()
}

// bounds returns the box that nothing of a form goes beyond; false if it has none.
func (b *builder) bounds(stream *pdfobj.Stream, m artwork.Matrix) (artwork.Rect, bool) {
	box, ok := b.doc.Numbers(stream.Dict["BBox"])
	if !ok || len(box) < 4 {
		return artwork.Rect{}, false
	}
	if own, ok := b.doc.Numbers(stream.Dict["Matrix"]); ok && len(own) >= 6 {
		m = artwork.Matrix(own[:6]).Then(m)
	}
	return m.Bounds(artwork.Rect(box[:4])), true
}
