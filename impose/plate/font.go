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

func setFont(x *rewriter, args []pdfobj.Object) {
	args = last(args, 2)
	if len(args) < 2 {
		return
	}
	name, _ := args[0].(pdfobj.Name)
	useFont(x, x.res.find(x.b.doc, "Font", name), pdfobj.NumberAt(args, 1))
}

func useFont(x *rewriter, o pdfobj.Object, size float64) {
	b := x.b
	d := b.doc.Dict(o)
	if d == nil {
		return
	}
	ref, isRef := o.(pdfobj.Ref)
	x.g.font, x.g.size = nil, size
	if b.doc.Name(d["Subtype"]) == "Type3" {
		x.g.font = &type3{ref, d, x.res}
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
			x.fail(err)
			return
		}
		name = b.resource("Font", "F", key, placed)
	}
	x.to.write("/" + string(name) + " ")
	x.to.numbers([]float64{size})
	x.to.write("Tf\n")
}

// showText runs a text-showing operator (9.4.3).
func showText(x *rewriter, op string, args []pdfobj.Object) {
	if x.isolated {
		x.g.sync(x, map[int]uses{0: theFill, 1: theStroke, 4: theFill, 5: theStroke}[x.g.render]|map[bool]uses{true: both}[x.g.render%4 == 2])
	}
	if f := x.g.font; f != nil {
		g := x.g
		name, err := x.b.copyOnce("font", f.ref, g.key()+strconv.FormatBool(x.uncoloured), func() (pdfobj.Name, error) {
			return copyType3(x, f, g)
		})
		if err != nil {
			x.fail(err)
			return
		}
		if name != "" {
			x.to.write("/" + string(name) + " ")
			x.to.numbers([]float64{g.size})
			x.to.write("Tf\n")
		}
		// A glyph with colours of its own is seen even where the current
		// colour isn't.
		if x.b.coloured[f.ref] && x.hidden == 0 {
			x.opacity(g.opacity())
			x.to.pass(op, args)
			x.sync()
			return
		}
	}
	x.to.pass(op, args)
}

// copyType3 copies a font with its glyphs as the plate sees them in a state.
func copyType3(x *rewriter, f *type3, g state) (pdfobj.Name, error) {
	b := x.b
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
		inner.uncoloured, inner.glyph = x.uncoloured, true
		err := inner.run(stream)
		b.exit(stream.Ref)
		if err != nil {
			return "", err
		}
		if !inner.uncoloured {
			b.coloured[f.ref] = true
		}
		ref, err := b.stream(pdfobj.Dict{}, inner.to)
		if err != nil {
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
