package glimpse

import (
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// named does the operators that name something among the resources. Any other is not
// understood.
func (k *look) named(operator string, list []operand, resources types.Dict, depth int) error {
	resource := func(kind string) types.Object {
		if len(list) == 0 || list[0].kind != isName {
			return nil
		}
		return k.r.dict(resources[kind])[list[0].text]
	}
	switch {
	case operator == "gs" && len(list) == 1:
		return k.graphicsState(resource("ExtGState"))
	case operator == "Do" && len(list) == 1:
		return k.external(resource("XObject"), resources, depth)
	case operator == "sh" && len(list) == 1:
		k.everything()
	case operator == "BMC" || operator == "BDC":
		veils := false
		if len(list) == 2 && list[0].text == "OC" {
			veils = true
			if list[1].kind == isName {
				veils = !k.layers.shown(k.r.dict(resources["Properties"])[list[1].text])
			}
		}
		if k.marked = append(k.marked, veils); veils {
			k.veils++
		}
	case operator == "EMC":
		if len(k.marked) == 0 {
			return errContent
		}
		n := len(k.marked) - 1
		if k.marked[n] {
			k.veils--
		}
		k.marked = k.marked[:n]
	case operator == "MP" || operator == "DP":
	default:
		return errContent
	}
	return nil
}

// everything paints all that the clip leaves as unknown.
func (k *look) everything() {
	for _, p := range k.canvas.places {
		k.canvas.veil(p.box(), k.state.clip)
	}
}

// graphicsState sets what a dictionary says (8.4.5).
func (k *look) graphicsState(o types.Object) error {
	d := k.r.dict(o)
	if d == nil {
		return errContent
	}
	s := &k.state
	for key, value := range d {
		switch key {
		case "LW":
			s.width, _ = k.r.number(value)
		case "ML":
			s.miter, _ = k.r.number(value)
		case "LJ":
			n, _ := k.r.number(value)
			s.round = n != 0
		case "ca":
			n, ok := k.r.number(value)
			s.faint = !ok || n != 1
		case "BM":
			mode := k.r.name(value)
			s.blends = mode != "Normal" && mode != "Compatible"
		case "SMask":
			s.masked = k.r.name(value) != "None"
		case "Font", "TR", "TR2":
			if name := k.r.name(value); name != "Identity" && name != "Default" {
				return errContent
			}
		}
	}
	return nil
}

// external paints a form or a picture.
func (k *look) external(o types.Object, resources types.Dict, depth int) error {
	number := 0
	if ref, ok := o.(types.IndirectRef); ok {
		number = ref.ObjectNumber.Value()
	}
	f := k.forms[number]
	if f == nil {
		v, err := k.r.resolve(o)
		if err != nil {
			return err
		}
		s, ok := v.(*types.StreamDict)
		if !ok {
			return errContent
		}
		if k.r.name(s.Dict["Subtype"]) == "Image" {
			k.paintPicture(s, number, resources)
			return nil
		}
		f = &form{dict: s.Dict}
	}
	s := &k.state
	b := k.r.numbers(f.dict["BBox"])
	if k.r.name(f.dict["Subtype"]) != "Form" || len(b) != 4 {
		return errContent
	}
	before := *s
	if m := k.r.numbers(f.dict["Matrix"]); len(m) == 6 {
		s.ctm = matrix(m).then(s.ctm)
	}
	if k.canvas.touched(s.ctm.bounds(box{min(b[0], b[2]), min(b[1], b[3]), max(b[0], b[2]), max(b[1], b[3])}), s.clip) {
		if err := k.paintForm(f, number, o, b, resources, depth); err != nil {
			return err
		}
	}
	k.state = before
	return nil
}

// paintPicture paints a picture, or what it covers as unknown.
func (k *look) paintPicture(s *types.StreamDict, number int, resources types.Dict) {
	state := &k.state
	around := state.ctm.bounds(box{0, 0, 1, 1})
	if !k.canvas.touched(around, state.clip) {
		return
	}
	if number == 0 || k.shown != number { // stations show one picture again and again
		k.pic, _ = pictures{k.r}.picture(s, resources)
		k.shown = number
	}
	if k.pic == nil || !k.plain() {
		k.canvas.veil(around, state.clip)
		return
	}
	k.canvas.show(k.pic, state.ctm, state.clip)
}

func (k *look) paintForm(f *form, number int, o types.Object, b []float64, resources types.Dict, depth int) error {
	s := &k.state
	if f.content == nil {
		content, err := k.r.content(o)
		if err != nil {
			return err
		}
		f.content = content
		if number > 0 && k.kept+len(content) <= mostKept {
			k.forms[number] = f
			k.kept += len(content)
		}
	}
	around := newOutline()
	around.rectangle(s.ctm, b[0], b[1], b[2]-b[0], b[3]-b[1])
	s.clip = s.clip.in(around)
	s.veiled = s.veiled || s.faint || s.blends || s.masked || f.dict["OC"] != nil && !k.layers.shown(f.dict["OC"])
	if own := k.r.dict(f.dict["Resources"]); own != nil {
		resources = own
	}
	marked, veils, path, line, pen := k.marked, k.veils, k.path, k.line, k.pen
	k.marked, k.path = nil, nil
	err := k.run(f.content, resources, depth+1)
	k.marked, k.veils, k.path, k.line, k.pen = marked, veils, path, line, pen
	return err
}

// layers are which content is shown by which switch (8.11).
type layers struct {
	r     *reader
	off   map[int]bool
	known bool
}

func (r *reader) layers() *layers {
	l := &layers{r: r, off: map[int]bool{}, known: true}
	config := r.dict(r.dict(r.dict(r.root)["OCProperties"])["D"])
	if base := r.name(config["BaseState"]); base != "" && base != "ON" || len(r.array(config["AS"])) > 0 {
		l.known = false
	}
	for _, o := range r.array(config["OFF"]) {
		if ref, ok := o.(types.IndirectRef); ok {
			l.off[ref.ObjectNumber.Value()] = true
		}
	}
	return l
}

// shown reports whether content is shown for certain. (Membership by rule is left to a
// renderer, and so is what is hidden.)
func (l *layers) shown(o types.Object) bool {
	ref, ok := o.(types.IndirectRef)
	return ok && l.known && !l.off[ref.ObjectNumber.Value()] && l.r.name(l.r.dict(ref)["Type"]) == "OCG"
}
