package plate

import (
	"crypto/sha256"
	"encoding/hex"
	"io"

	"quoin/impose/artwork"
	"quoin/impose/artwork/function"
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
)

// family sorts colour spaces (ISO 32000-1 8.6) by how their components become
// plates.
type family uint8

const (
	unknownSpace family = iota
	graySpace
	rgbSpace
	labSpace
	cmykSpace
	spotSpace
	indexedSpace
	patternSpace
)

// space is a colour space as content uses it.
type space struct {
	family family
	label  string
	n      int
	id     int
	// direct is set for DeviceCMYK that nothing replaces: only there does
	// overprint mode 1 work (8.6.7).
	direct bool
	// foreign is set for grey and CMYK with a profile that isn't the output
	// intent's.
	foreign bool

	names []string // of Separation and DeviceN
	// renamed is set where names are not the file's own: two may then be the
	// same ink, which prints one on the other.
	renamed   bool
	base      *space // of Indexed and Pattern, and the alternate of spots
	transform *function.Function
	table     []byte // of Indexed: base.n bytes for each entry
	high      int
}

// none reports whether the space paints no plate at all (8.6.6.4).
func (sp *space) none() bool {
	if sp.family != spotSpace {
		return false
	}
	for _, n := range sp.names {
		if n != "None" {
			return false
		}
	}
	return true
}

// spaces reads the colour spaces of a document, each once.
type spaces struct {
	page      *artwork.Page
	doc       *pdfobj.Document
	known     map[pdfobj.Ref]*space
	simple    map[string]*space
	functions *function.Reader
	ids       int
	names     map[string]string // what inks are called on the press, where that differs
}

// maxFunctions bounds the tables of a page's functions, in bytes.
const maxFunctions = 256 << 20

func newSpaces(p *artwork.Page) *spaces {
	return &spaces{page: p, doc: p.Doc, known: map[pdfobj.Ref]*space{}, simple: map[string]*space{}, functions: function.NewReader(p.Doc, maxFunctions)}
}

const maxSpaceDepth = 8

func (s *spaces) made(sp *space) *space {
	s.ids++
	sp.id = s.ids
	return sp
}

// plain returns a space without parameters, the same each time.
func (s *spaces) plain(f family, label string, n int) *space {
	if sp := s.simple[label]; sp != nil {
		return sp
	}
	sp := s.made(&space{family: f, label: label, n: n, direct: label == "DeviceCMYK"})
	s.simple[label] = sp
	return sp
}

// read reads a colour space: a name, looked up in the resources unless it is
// one of the standard's, or an array.
func (s *spaces) read(o pdfobj.Object, res *resources, depth int) *space {
	if depth > maxSpaceDepth {
		return s.plain(unknownSpace, "a colour space inside itself", 0)
	}
	ref, isRef := o.(pdfobj.Ref)
	v, _ := s.doc.Resolve(o)
	if name, ok := v.(pdfobj.Name); ok {
		return s.named(name, res, depth)
	}
	if isRef && s.known[ref] != nil {
		return s.known[ref]
	}
	a, _ := v.(pdfobj.Array)
	sp := s.array(a, res, depth)
	if isRef {
		s.known[ref] = sp
	}
	return sp
}

func (s *spaces) named(name pdfobj.Name, res *resources, depth int) *space {
	switch name {
	case "CalGray":
		sp := s.plain(graySpace, "CalGray", 1)
		sp.foreign = true
		return sp
	case "DeviceGray":
		return s.device(graySpace, "DeviceGray", "DefaultGray", 1, res, depth)
	case "DeviceRGB":
		return s.device(rgbSpace, "DeviceRGB", "DefaultRGB", 3, res, depth)
	case "DeviceCMYK", "CalCMYK":
		return s.device(cmykSpace, "DeviceCMYK", "DefaultCMYK", 4, res, depth)
	case "CalRGB":
		return s.plain(rgbSpace, "CalRGB", 3)
	case "Lab":
		return s.plain(labSpace, "Lab", 3)
	case "Pattern":
		return s.plain(patternSpace, "Pattern", 0)
	}
	if inner := res.find(s.doc, "ColorSpace", name); inner != nil && inner != pdfobj.Object(name) {
		return s.read(inner, res, depth+1)
	}
	if long := shortSpaces[name]; long != "" { // out of place here, and yet some write it
		return s.named(long, res, depth+1)
	}
	return s.plain(unknownSpace, "a colour space that the resources don't have", 0)
}

// device returns a device space, or what the resources put in its place (8.6.5.6).
func (s *spaces) device(f family, label string, instead pdfobj.Name, n int, res *resources, depth int) *space {
	if o := res.find(s.doc, "ColorSpace", instead); o != nil {
		if sub := s.read(o, nil, depth+1); sub.n == n && sub.family != patternSpace && sub.family != unknownSpace {
			return sub
		}
	}
	return s.plain(f, label, n)
}

func (s *spaces) array(a pdfobj.Array, res *resources, depth int) *space {
	at := func(i int) pdfobj.Object {
		if i < len(a) {
			return a[i]
		}
		return nil
	}
	switch name := s.doc.Name(at(0)); name {
	case "":
		return s.plain(unknownSpace, "a broken colour space", 0)
	case "ICCBased":
		return s.profiled(at(1), res, depth)
	case "Indexed", "I":
		return s.indexed(s.read(at(1), res, depth+1), at(2), at(3))
	case "Pattern":
		if at(1) == nil {
			return s.plain(patternSpace, "Pattern", 0)
		}
		return s.made(&space{family: patternSpace, label: "Pattern", base: s.read(at(1), res, depth+1)})
	case "Separation":
		return s.spots(pdfobj.Array{at(1)}, "Separation", at(2), at(3), res, depth)
	case "DeviceN":
		return s.spots(s.doc.Array(at(1)), "DeviceN", at(2), at(3), res, depth)
	default:
		return s.named(name, res, depth)
	}
}

// profiled reads ICCBased (8.6.5.5) by its number of components: a plate takes
// the values as they are, as a RIP does that has the same profile.
func (s *spaces) profiled(o pdfobj.Object, res *resources, depth int) *space {
	stream := s.doc.Stream(o)
	if stream == nil {
		return s.plain(unknownSpace, "a colour space without its profile", 0)
	}
	n, _ := s.doc.Int(stream.Dict["N"])
	switch n {
	case 1:
		sp := s.plain(graySpace, "ICC-based grey", 1)
		sp.foreign = true
		return sp
	case 3:
		if sub := s.doc.Name(first(s.doc.Array(stream.Dict["Alternate"]))); sub == "Lab" {
			return s.plain(labSpace, "ICC-based Lab", 3)
		}
		return s.plain(rgbSpace, "ICC-based RGB", 3)
	case 4:
		sp := s.plain(cmykSpace, "ICC-based CMYK", 4)
		if !s.isIntent(stream) {
			sp = s.plain(cmykSpace, "CMYK of a profile of its own", 4)
			sp.foreign = true
		}
		return sp
	}
	if stream.Dict["Alternate"] != nil {
		return s.read(stream.Dict["Alternate"], res, depth+1)
	}
	return s.plain(unknownSpace, "a profile of unknown colours", 0)
}

// isIntent reports whether a profile is the output intent's.
func (s *spaces) isIntent(stream *pdfobj.Stream) bool {
	intent := s.page.OutputIntent
	if intent == nil || intent.SHA256 == "" {
		return false
	}
	r, err := s.doc.Decoded(stream)
	if err != nil {
		return false
	}
	h := sha256.New()
	io.Copy(h, r)
	return hex.EncodeToString(h.Sum(nil)) == intent.SHA256
}

func first(a pdfobj.Array) pdfobj.Object {
	if len(a) == 0 {
		return nil
	}
	return a[0]
}

// maxColourants is the limit of Annex C on DeviceN.
const maxColourants = 32

// spots reads Separation and DeviceN, 8.6.6.4 and 8.6.6.5; NChannel is DeviceN.
func (s *spaces) spots(names pdfobj.Array, label string, alternate, transform pdfobj.Object, res *resources, depth int) *space {
	if len(names) == 0 || len(names) > maxColourants {
		return s.plain(unknownSpace, "a DeviceN colour space without names", 0)
	}
	sp := &space{family: spotSpace, label: label, n: len(names), base: s.read(alternate, res, depth+1)}
	for _, o := range names {
		name := s.doc.Name(o).Text()
		if to := s.names[name]; to != "" {
			name = to
			sp.renamed = true
		}
		sp.names = append(sp.names, name)
	}
	if f, err := s.functions.Parse(transform); err == nil && f.Inputs() == sp.n {
		sp.transform = f
	}
	return s.made(sp)
}

func (s *spaces) indexed(base *space, high, lookup pdfobj.Object) *space {
	sp := &space{family: indexedSpace, label: "Indexed", n: 1, base: base}
	last, _ := s.doc.Int(high)
	sp.high = int(min(max(last, 0), 255))
	if text, ok := s.doc.String(lookup); ok {
		sp.table = []byte(text)
	} else if stream := s.doc.Stream(lookup); stream != nil {
		if r, err := s.doc.Decoded(stream); err == nil {
			sp.table, _ = io.ReadAll(io.LimitReader(r, 256*maxColourants))
		}
	}
	return s.made(sp)
}

// entry returns the colour of the base space that an index stands for.
func (sp *space) entry(i int) []float64 {
	v := make([]float64, sp.base.n)
	i = min(max(i, 0), sp.high)
	for j := range v {
		if at := i*sp.base.n + j; at < len(sp.table) {
			v[j] = float64(sp.table[at]) / 255
		}
	}
	if sp.base.family == labSpace { // 8.6.6.3 maps to the base's own range
		v[0], v[1], v[2] = 100*v[0], 200*v[1]-100, 200*v[2]-100
	}
	return v
}

// initial is the colour that cs sets (8.6.5.1 and following).
func (sp *space) initial() []float64 {
	v := make([]float64, sp.n)
	switch {
	case sp.family == spotSpace:
		for i := range v {
			v[i] = 1
		}
	case sp.family == cmykSpace:
		v[3] = 1
	}
	return v
}

// processNumber returns the place of a process ink in C, M, Y, K; -1 for a spot.
func processNumber(name string) int {
	for i, p := range ink.ProcessNames {
		if p == name {
			return i
		}
	}
	return -1
}
