package artwork

import (
	"io"
	"slices"

	"quoin/impose/artwork/function"
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
)

// family sorts the colour spaces of 8.6 by what they mean for the inks.
type family uint8

const (
	unknownSpace family = iota
	graySpace           // black alone
	rgbSpace            // RGB of any kind and Lab: only the RIP knows the inks
	cmykSpace
	spotSpace    // Separation and DeviceN: the names are the inks
	indexedSpace // a palette of another space
	patternSpace
)

// space is a colour space as content uses it.
type space struct {
	family family
	label  string // for people: "DeviceRGB", "ICC-based RGB", "Lab"
	n      int    // number of components
	// device is set for RGB that nothing defines: neither a profile nor a
	// default space.
	device bool
	// foreign is set for ICC-based CMYK whose profile is not that of the
	// output intent: the RIP may convert it, and use inks at will.
	foreign bool
	// own is set for ICC-based CMYK whose profile is the output intent's.
	own bool
	// undefined is the number of a device space that nothing defines, from 1.
	undefined int

	// told and blended are what has been found about the space already.
	told    bool
	blended what

	inks []*inkUse // of each component; nil for None; of process colours too
	all  bool      // the Separation All: every ink
	base *space    // of Indexed; the underlying space of an uncoloured Pattern
	used []bool    // of Indexed: which components of the base the palette uses
	// object is what the file has, for a Separation that marks can reuse.
	object pdfobj.Object
	tint   *function.Function
}

// maxSpaceDepth bounds colour spaces inside colour spaces.
const maxSpaceDepth = 8

var shortSpaces = map[pdfobj.Name]pdfobj.Name{
	"G": "DeviceGray", "RGB": "DeviceRGB", "CMYK": "DeviceCMYK", "I": "Indexed",
}

// spaceOf reads a colour space. Names are those of the device spaces and
// Pattern, else of the resources; short says that the short names of inline
// images count too.
func spaceOf(s *scan, o pdfobj.Object, sc *scope, short bool, depth int) *space {
	if depth > maxSpaceDepth {
		return &space{label: "a colour space inside itself"}
	}
	ref, isRef := o.(pdfobj.Ref)
	v, _ := s.doc.Resolve(o)
	name, isName := v.(pdfobj.Name)
	if isRef && !isName { // a name means what the resources make of it
		if known := s.spaces[ref]; known != nil {
			return known
		}
		made := arraySpace(s, v, sc, depth)
		s.spaces[ref] = made
		return made
	}
	if !isName {
		return arraySpace(s, v, sc, depth)
	}
	if long := shortSpaces[name]; short && long != "" {
		name = long
	}
	switch name {
	case "DeviceGray":
		return deviceSpace(s, name, "DefaultGray", sc, depth)
	case "DeviceRGB":
		return deviceSpace(s, name, "DefaultRGB", sc, depth)
	case "DeviceCMYK":
		return deviceSpace(s, name, "DefaultCMYK", sc, depth)
	case "Pattern":
		return &space{family: patternSpace, label: "Pattern"}
	case "CalGray":
		return plainSpace(s, graySpace, "CalGray", 1)
	case "CalRGB", "Lab":
		return plainSpace(s, rgbSpace, string(name), 3)
	case "CalCMYK":
		return deviceSpace(s, "DeviceCMYK", "DefaultCMYK", sc, depth)
	}
	if inner := sc.find(s.doc, "ColorSpace", name); inner != nil && inner != pdfobj.Object(name) {
		return spaceOf(s, inner, sc, short, depth+1)
	}
	if sc != nil {
		s.resource(sc, "ColorSpace", name)
	}
	return &space{label: "a colour space that the resources don't have"}
}

// deviceSpace returns a device space, or the default that the resources put in its
// place, 8.6.5.6.
func deviceSpace(s *scan, name, replaced pdfobj.Name, sc *scope, depth int) *space {
	if o := sc.find(s.doc, "ColorSpace", replaced); o != nil {
		// The default of a default is itself.
		if sub := spaceOf(s, o, nil, false, depth+1); sub.family != unknownSpace && sub.family != patternSpace {
			return sub
		}
	}
	switch name {
	case "DeviceGray":
		return undefinedSpace(s, graySpace, name, 1)
	case "DeviceRGB":
		sp := undefinedSpace(s, rgbSpace, name, 3)
		sp.device = true
		return sp
	}
	return undefinedSpace(s, cmykSpace, name, 4)
}

// plainSpace returns a space whose inks are process inks.
func plainSpace(s *scan, f family, label string, n int) *space {
	sp := &space{family: f, label: label, n: n, inks: s.process[:]}
	if f == graySpace {
		sp.inks = s.process[3:]
	}
	return sp
}

// arraySpace reads a space that is an array.
func arraySpace(s *scan, o pdfobj.Object, sc *scope, depth int) *space {
	a, _ := o.(pdfobj.Array)
	if len(a) == 0 {
		return &space{label: "a broken colour space"}
	}
	at := func(i int) pdfobj.Object {
		if i < len(a) {
			return a[i]
		}
		return nil
	}
	switch name := s.doc.Name(a[0]); name {
	case "ICCBased":
		return profiledSpace(s, at(1), sc, depth)
	case "Indexed", "I":
		sp := &space{family: indexedSpace, label: "Indexed", n: 1, base: spaceOf(s, at(1), sc, name == "I", depth+1)}
		readPalette(s, sp, at(2), at(3))
		return sp
	case "Pattern":
		sp := &space{family: patternSpace, label: "Pattern"}
		if at(1) != nil {
			sp.base = spaceOf(s, at(1), sc, false, depth+1)
		}
		return sp
	case "Separation":
		return inkSpace(s, a, pdfobj.Array{at(1)}, at(2), at(3), sc, depth)
	case "DeviceN":
		return inkSpace(s, a, s.doc.Array(at(1)), at(2), at(3), sc, depth)
	case "":
		return &space{label: "a broken colour space"}
	default:
		return spaceOf(s, name, sc, false, depth+1) // [/DeviceRGB], [/CalRGB <<...>>]
	}
}

// profiledSpace reads ICCBased, 8.6.5.5.
func profiledSpace(s *scan, o pdfobj.Object, sc *scope, depth int) *space {
	stream := s.doc.Stream(o)
	if stream == nil {
		return &space{label: "an ICC-based colour space without profile"}
	}
	p, err := s.page.File.profile(stream)
	n, _ := s.doc.Int(stream.Dict["N"])
	if err != nil || int(n) != p.components && n != 0 {
		s.found.add(ProfileInvalid, objectName(stream.Ref), "an ICC profile can't be used; the colours count as device colours")
		if p.space = map[int64]string{1: "GRAY", 3: "RGB", 4: "CMYK"}[n]; p.space == "" && stream.Dict["Alternate"] != nil {
			return spaceOf(s, stream.Dict["Alternate"], sc, false, depth+1)
		}
	}
	switch p.space {
	case "GRAY":
		return plainSpace(s, graySpace, "ICC-based grey", 1)
	case "RGB", "XYZ", "CMY":
		return plainSpace(s, rgbSpace, "ICC-based RGB", 3)
	case "Lab":
		return plainSpace(s, rgbSpace, "ICC-based Lab", 3)
	case "CMYK":
		sp := plainSpace(s, cmykSpace, "ICC-based CMYK", 4)
		intent := s.page.OutputIntent
		sp.foreign = intent == nil || p.sha256 == "" || p.sha256 != intent.SHA256
		sp.own = !sp.foreign
		return sp
	}
	return &space{label: "an ICC-based colour space of " + p.space}
}

// inkSpace reads Separation and DeviceN, 8.6.6.4 and 8.6.6.5.
func inkSpace(s *scan, whole, names pdfobj.Array, alternate, transform pdfobj.Object, sc *scope, depth int) *space {
	sp := &space{family: spotSpace, n: len(names), object: whole}
	if sp.n == 0 || sp.n > maxColourants {
		return &space{label: "a DeviceN colour space without names"}
	}
	sp.label = "Separation"
	if s.doc.Name(whole[0]) == "DeviceN" {
		sp.label = "DeviceN"
	}
	sp.base = spaceOf(s, alternate, sc, false, depth+1)
	sp.tint = s.function(transform)
	if sp.tint != nil && sp.tint.Inputs() != sp.n {
		sp.tint = nil
	}
	for i, o := range names {
		raw := s.doc.Name(o)
		switch raw {
		case "None", "":
			sp.inks = append(sp.inks, nil)
		case "All":
			sp.all = true
			sp.inks = append(sp.inks, nil)
		default:
			u := s.ink(raw)
			u.look(sp, i)
			sp.inks = append(sp.inks, u)
		}
	}
	if sp.label == "DeviceN" {
		noteMixture(s, names)
	}
	if len(whole) > 4 {
		readColorants(s, s.doc.Dict(whole[4]), sc, depth)
	}
	return sp
}

// noteMixture notes which inks a DeviceN paints together. Two spellings of one name
// are two colorants to a RIP, and can't be made one there.
func noteMixture(s *scan, names pdfobj.Array) {
	var list []string
	raws := map[string]pdfobj.Name{}
	for _, o := range names {
		raw := s.doc.Name(o)
		name := raw.Text()
		if raw == "None" || raw == "" {
			continue
		}
		if other, ok := raws[name]; ok && other != raw {
			s.found.page(InkTwins, "one colour space mixes two spellings of the ink name %q (UTF-8 and Latin-1), which are two plates", name)
		}
		raws[name] = raw
		list = append(list, name)
	}
	for _, known := range s.page.Mixtures {
		if slices.Equal(known, list) {
			return
		}
	}
	s.page.Mixtures = append(s.page.Mixtures, list)
}

// maxColourants is the limit of Annex C on DeviceN.
const maxColourants = 32

// readColorants reads the Separations that a DeviceN carries for its spots
// (Table 71): they say best what each looks like.
func readColorants(s *scan, attributes pdfobj.Dict, sc *scope, depth int) {
	list := s.doc.Dict(attributes["Colorants"])
	for _, name := range list.Keys() {
		if u := s.inks[name.Text()]; u != nil && s.doc.Name(at0(s.doc.Array(list[name]))) == "Separation" {
			spaceOf(s, list[name], sc, false, depth+1)
		}
	}
}

func at0(a pdfobj.Array) pdfobj.Object {
	if len(a) == 0 {
		return nil
	}
	return a[0]
}

// readPalette finds which components of the base a palette uses, so that a
// palette of greys in CMYK counts as black.
func readPalette(s *scan, sp *space, high, lookup pdfobj.Object) {
	n := sp.base.n
	sp.used = make([]bool, n)
	whole := func() {
		for i := range sp.used {
			sp.used[i] = true
		}
	}
	last, _ := s.doc.Int(high)
	var table []byte
	if text, ok := s.doc.String(lookup); ok {
		table = []byte(text)
	} else if stream := s.doc.Stream(lookup); stream != nil {
		if r, err := s.doc.Decoded(stream); err == nil {
			table, _ = io.ReadAll(io.LimitReader(r, 256*maxColourants))
		}
	}
	if n == 0 || last < 0 || last > 255 || len(table) < n {
		whole()
		return
	}
	for i := range min(len(table), n*int(last+1)) {
		// White is all zero in inks, all one in RGB; a grey palette counts as
		// black unless it is all white.
		zero := byte(0)
		if sp.base.family == graySpace || sp.base.family == rgbSpace {
			zero = 255
		}
		if table[i] != zero {
			sp.used[i%n] = true
		}
	}
}

// initial is the colour that cs sets, 8.6.5.1 and following.
func (sp *space) initial() []float64 {
	v := make([]float64, sp.n)
	switch {
	case sp.family == spotSpace:
		for i := range v {
			v[i] = 1
		}
	case sp.label == "DeviceCMYK":
		v[3] = 1
	}
	return v
}

// amounts calls use for every ink that a colour of the space is made of.
// values are the components, nil for all that the space can make.
func (sp *space) amounts(values []float64, use func(u *inkUse)) {
	value := func(i int) float64 {
		if i < len(values) {
			return values[i]
		}
		return 0
	}
	switch sp.family {
	case graySpace:
		if values == nil || value(0) < 1 {
			use(sp.inks[0])
		}
	case rgbSpace:
		white := value(0) >= 1 && value(1) >= 1 && value(2) >= 1
		if sp.label == "Lab" || sp.label == "ICC-based Lab" {
			white = value(0) >= 100
		}
		if values == nil || !white {
			for _, u := range sp.inks {
				use(u)
			}
		}
	case cmykSpace, spotSpace:
		any := false
		for i, u := range sp.inks {
			if values == nil || value(i) > 0 {
				any = true
				if u != nil && !sp.foreign {
					use(u)
				}
			}
		}
		if any && sp.foreign {
			for _, u := range sp.inks {
				use(u)
			}
		}
	case indexedSpace:
		sp.base.amounts(paletteValues(sp.base, sp.used), use)
	}
}

// paletteValues makes one colour that uses what a palette uses.
func paletteValues(base *space, used []bool) []float64 {
	v := make([]float64, len(used))
	for i, u := range used {
		on := u
		if base.family == graySpace || base.family == rgbSpace {
			on = !u
		}
		if on {
			v[i] = 1
		}
	}
	return v
}

// alternate evaluates what the tint of component i alone looks like.
func (sp *space) alternate(i int) (ink.Alternate, [4]float64) {
	base := sp.base
	if sp.tint == nil || base.n == 0 || sp.tint.Outputs() != base.n {
		return ink.Alternate{}, [4]float64{}
	}
	tint := func(amount float64) []float64 {
		in := make([]float64, sp.n)
		in[i] = amount
		return sp.tint.At(in...)
	}
	full := tint(1)
	return ink.Alternate{Space: base.label, Full: full, Half: tint(.5)}, approximate(base, full)
}
