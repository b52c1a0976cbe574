package plate

import (
	"fmt"
	"strconv"

	"quoin/impose/pdfobj"
)

// type3 is a font whose glyphs are content (9.6.5), and may have colours of
// their own.
type type3 struct {
	ref  pdfobj.Ref
	dict pdfobj.Dict
	res  *resources
}

// fontCopy writes text.
type fontCopy struct{ r *rewriter }

func (r fontCopy) set(args []pdfobj.Object) {
	args = last(args, 2)
	if len(args) < 2 {
		return
	}
	name, _ := args[0].(pdfobj.Name)
	r.use(r.r.res.find(r.r.b.doc, "Font", name), number(args, 1))
}

func (r fontCopy) use(o pdfobj.Object, size float64) {
	b := r.r.b
	d := b.doc.Dict(o)
	if d == nil {
		return
	}
	ref, isRef := o.(pdfobj.Ref)
	r.r.g.font, r.r.g.size = nil, size
	if b.doc.Name(d["Subtype"]) == "Type3" {
		r.r.g.font = &type3{ref, d, r.r.res}
		return // set when it is shown: only then is its colour known
	}
	key := ""
	if isRef {
		key = fmt.Sprint("font", ref)
	}
	name := b.names["Font"+key]
	if name == "" || key == "" {
		placed, err := b.copier.Copy(o)
		if err != nil {
			r.r.fail(err)
			return
		}
		name = b.resource("Font", "F", key, placed)
	}
	r.r.to.write("/" + string(name) + " ")
	r.r.to.numbers([]float64{size})
	r.r.to.write("Tf\n")
}

// show runs a text-showing operator (9.4.3).
func (r fontCopy) show(op string, args []pdfobj.Object) {
	if r.r.isolated {
		r.r.g.sync(r.r, map[int]uses{0: theFill, 1: theStroke, 4: theFill, 5: theStroke}[r.r.g.render]|map[bool]uses{true: both}[r.r.g.render%4 == 2])
	}
	if f := r.r.g.font; f != nil {
		g := r.r.g
		name, err := r.r.b.copyOnce("font", f.ref, g.key()+strconv.FormatBool(r.r.uncoloured), func() (pdfobj.Name, error) {
			return r.copyType3(f, g)
		})
		if err != nil {
			r.r.fail(err)
			return
		}
		if name != "" {
			r.r.to.write("/" + string(name) + " ")
			r.r.to.numbers([]float64{g.size})
			r.r.to.write("Tf\n")
		}
		// A glyph with colours of its own is seen even where the current
		// colour isn't.
		if r.r.b.coloured[f.ref] && r.r.hidden == 0 {
			r.r.opacity(g.opacity())
			r.r.to.pass(op, args)
			r.r.sync()
			return
		}
	}
	r.r.to.pass(op, args)
}

// copyType3 copies a font with its glyphs as the plate sees them in a state.
func (r fontCopy) copyType3(f *type3, g state) (pdfobj.Name, error) {
	b := r.r.b
	if !b.enter(f.ref) {
		return "", nil
	}
	defer b.exit(f.ref)
	res := b.scope(f.dict["Resources"], f.res)
	glyphs := pdfobj.Dict{}
	procs := b.doc.Dict(f.dict["CharProcs"])
	for _, key := range procs.Keys() {
		stream := b.doc.Stream(procs[key])
		if stream == nil || !b.enter(stream.Ref) {
			continue
		}
		inner := newRewriter(b, res, g)
		inner.g.alpha, inner.g.strokeAlpha, inner.g.blend = 1, 1, "Normal"
		inner.uncoloured, inner.glyph = r.r.uncoloured, true
		err := inner.run(stream)
		b.exit(stream.Ref)
		if err != nil {
			return "", err
		}
		if !inner.uncoloured {
			b.coloured[f.ref] = true
		}
		ref := b.w.Alloc()
		if err := inner.to.put(b, ref, pdfobj.Dict{}); err != nil {
			return "", err
		}
		glyphs[key] = pdfobj.Placed(ref)
	}
	dict := pdfobj.Dict{}
	for _, key := range f.dict.Keys() {
		switch key {
		case "CharProcs", "Resources", "ToUnicode", "StructParents":
		default:
			dict[key] = f.dict[key]
		}
	}
	dict["CharProcs"], dict["Resources"] = glyphs, pdfobj.Placed(b.resources)
	placed, err := b.copier.Copy(dict)
	if err != nil {
		return "", err
	}
	return b.resource("Font", "F", "", placed), nil
}
