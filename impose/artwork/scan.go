package artwork

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"

	"quoin/impose/artwork/function"
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
)

// scan looks through the content of a page, with all forms, patterns, glyphs
// and annotations that it paints, and notes what it uses. It draws nothing.
type scan struct {
	page  *Page
	doc   *pdfobj.Document
	found *findings
	rules ink.Rules

	inks    map[string]*inkUse
	order   []*inkUse
	process [4]*inkUse

	spaces   map[pdfobj.Ref]*space
	scopes   map[pdfobj.Ref]*scope
	fonts    map[pdfobj.Ref]*fontUse
	fontList []*fontUse
	images   map[pdfobj.Ref]int // index in page.Images
	layers   map[pdfobj.Ref]bool

	root      *scope // the page's resources
	borrowers map[pdfobj.Ref]*borrower
	left      int   // operators that may still be looked at
	bytes     int64 // decoded content that may still be read
	functions *function.Reader
	err       error
	depth     int
	active    map[pdfobj.Ref]bool // streams being walked: a loop stops there
	walked    map[walkKey]bool
	places    map[pdfobj.Ref]int
	costs     map[pdfobj.Ref]int    // operators of one walk, with all that it walks
	turns     map[pdfobj.Ref]Matrix // of forms: the space of the first time
	turned    map[pdfobj.Ref]bool   // forms that are painted in several turns or sizes

	// Where the walk is.
	in       pdfobj.Ref // form, pattern, glyph or image; zero in the page's own content
	hidden   int        // layers around that are off
	kinds    []stepped  // processing steps around, innermost last
	masking  int        // soft masks around: what they paint is no ink
	inCells  int        // cells of tiling patterns around
	inGlyphs int        // glyphs of Type 3 fonts around
	blendRGB bool       // the group around blends in RGB

	thin float64 // the thinnest line that is too thin, in points
	area Rect    // what prints: the bleed box
	// Findings that are made once.
	toldPaper, toldMode bool
	deviceUse           [len(deviceSpaces)]deviceUse // by number; 0 is for all other spaces

	cuts     [technical + 1]cutPaths // by rank
	cutsLeft int                     // segments that may still be kept; negative: there were more

	white    knockouts
	rgb      map[string]*rgbUse
	rgbOrder []string

	ground *ground // what boxes are watched for; nil for none
}

// stepped is a layer with a processing step that content belongs to.
type stepped struct {
	step Step
	kind ink.Kind
}

// walkKey is a stream with what makes a second walk of it tell more.
type walkKey struct {
	ref          pdfobj.Ref
	fill, stroke uint64
	flags        uint8
	scale        int8
	x, y         int32 // where it is placed, in points
	shows        Rect  // what the clip leaves of it, in its own space; see Options.Placeless
	step         Step
}

const (
	defaultOperators = 50_000_000
	maxForms         = 48 // nesting of forms, patterns and glyphs
	maxPlaces        = 64 // walks of one stream that differ in place
	maxStates        = 512

	// maxBytes bounds the decoded content of one page, however often it is
	// walked, and maxFunctions the tables of its functions: small files can be
	// built that unpack to anything.
	maxBytes     = 512 << 20
	maxFunctions = 256 << 20
)

var errOperators = errors.New("the content is too long")

func newScan(p *Page, found *findings) *scan {
	s := &scan{
		page: p, doc: p.Doc, found: found, rules: p.File.opt.Rules,
		inks: map[string]*inkUse{}, spaces: map[pdfobj.Ref]*space{}, scopes: map[pdfobj.Ref]*scope{},
		fonts: map[pdfobj.Ref]*fontUse{}, images: map[pdfobj.Ref]int{}, layers: map[pdfobj.Ref]bool{},
		active: map[pdfobj.Ref]bool{}, walked: map[walkKey]bool{}, costs: map[pdfobj.Ref]int{}, places: map[pdfobj.Ref]int{}, rgb: map[string]*rgbUse{},
		turns: map[pdfobj.Ref]Matrix{}, turned: map[pdfobj.Ref]bool{},
		borrowers: map[pdfobj.Ref]*borrower{}, left: p.File.opt.Operators, bytes: maxBytes, functions: function.NewReader(p.Doc, maxFunctions), area: p.Boxes.Bleed, cutsLeft: maxCutSegments,
	}
	if s.left <= 0 {
		s.left = defaultOperators
	}
	if p.File.opt.Long {
		s.left, s.bytes = math.MaxInt, math.MaxInt64
	}
	for i, name := range ink.ProcessNames {
		s.process[i] = s.ink(pdfobj.Name(name))
	}
	return s
}

// run walks the page and then its annotations.
func (s *scan) run() error {
	p := s.page
	s.root = s.scope(p.Dict["Resources"], nil)
	if s.page.Group != nil {
		resources := s.root
		s.blendRGB = blendsInRGB(s, p.Group["CS"], resources)
		noteGroup(s, p.Group["CS"], resources)
	}
	s.checkFilters(p.Dict["Contents"], "the page's content")
	s.content(p.Dict["Contents"], s.root, s.initialState(identity), false, false)
	walkAnnotations(s)
	p.Turned = s.turned
	checkDamage(s)
	s.checkBorrowers()
	// A document that is told to end has no content, which is no error.
	if err := p.File.context().Err(); err != nil {
		return err
	}
	if s.err != nil && !errors.Is(s.err, errOperators) {
		return s.err
	}
	if s.err != nil {
		p.Tiling, p.TiledLoose = true, true // nobody knows
		s.found.page(ContentLong, "the page has more than %d operators or %d MiB of content, or content that unpacks to more than %d times what is stored: that is more than is looked at", s.limit(), maxBytes>>20, denser)
	}
	return nil
}

// metered counts the decoded content of a scan and ends it at its budget, or at
// what one stream may be.
type metered struct {
	r    io.Reader
	s    *scan
	most int64
}

func (m *metered) Read(p []byte) (int, error) {
	if m.s.bytes <= 0 || m.most < 0 {
		m.s.err = errOperators
		return 0, io.EOF
	}
	n, err := m.r.Read(p[:min(int64(len(p)), m.s.bytes)])
	m.s.bytes -= int64(n)
	m.most -= int64(n)
	return n, err
}

// function reads a function; nil if it can't be used.
func (s *scan) function(o pdfobj.Object) *function.Function {
	f, _ := s.functions.Parse(o) // what has no usable function prints all the same
	return f
}

func (s *scan) limit() int {
	if n := s.page.File.opt.Operators; n > 0 {
		return n
	}
	return defaultOperators
}

// content runs the operators of a page, form, pattern or glyph. repeats and
// uncoloured are those of painter.
func (s *scan) content(o pdfobj.Object, sc *scope, g state, repeats, uncoloured bool) {
	hidden, kinds := s.hidden, len(s.kinds)
	if s.err != nil {
		return
	}
	p := &painter{scan: s, scope: sc, g: g, base: g.ctm, path: nothing, repeats: repeats, uncoloured: uncoloured}
	c := pdfobj.NewContentScanner(s.decoded(o))
	c.Reuse, c.Plain, c.Paths = true, true, p.untraced()
	for s.err == nil && c.Next() {
		op := c.Latest()
		if s.spend(op.Path.Operators + 1) {
			p.operate(op)
		}
		c.Paths = p.untraced()
	}
	if err := c.Err(); err != nil && s.err == nil {
		if s.page.File.context().Err() != nil {
			s.err = err
		} else {
			s.found.add(ScanIncomplete, objectName(s.in), "content could not be read to its end: %v", err)
		}
	}
	// Content that is not closed by its end must not reach the next.
	s.hidden, s.kinds = hidden, s.kinds[:kinds]
}

// spend takes operators off those that may still be looked at, and reports whether the
// scan goes on.
func (s *scan) spend(operators int) bool {
	before := s.left
	switch s.left -= operators; {
	case s.left < 0:
		s.err = errOperators
	case s.left>>12 != before>>12:
		s.err = s.page.File.context().Err()
	}
	return s.err == nil
}

// decoded returns what can be read of a stream, or of an array of them, in the bounds
// of the scan. What is stored in few bytes may be a great deal.
func (s *scan) decoded(o pdfobj.Object) io.Reader {
	stored := int64(0)
	for _, part := range append(pdfobj.Array{o}, s.doc.Array(o)...) {
		if stream := s.doc.Stream(part); stream != nil {
			stored += stream.RawLength()
		}
	}
	most := max(packed, stored*denser)
	if s.page.File.opt.Long {
		most = math.MaxInt64
	}
	if whole := s.doc.Stream(o); whole != nil && s.page.File.opt.Copied {
		pdfobj.Presum(s.doc, whole)
	}
	return &metered{s.doc.Content(o), s, most}
}

// Content of more than packed bytes doesn't unpack to denser times what is
// stored, unless it was made to: text of numbers and operators deflates to
// between a third and a fiftieth; common practice, no source.
const (
	packed = 64 << 20
	denser = 250
)

// inside walks a stream that the content paints, unless that is already being
// done or would tell nothing new. A stream that is painted at ever new places
// is followed to the first of them; after that, walk is told that it repeats,
// and its content counts as lying anywhere within the clip. It reports whether the
// stream was walked, or is one that paints nothing.
func (s *scan) inside(stream *pdfobj.Stream, g *state, extra uint8, walk func(repeats bool)) bool {
	if stream == nil || s.depth >= maxForms || s.active[stream.Ref] {
		return true
	}
	key := walkKey{ref: stream.Ref, fill: g.fill.sign(), stroke: g.stroke.sign(), flags: s.flags(g) | extra, scale: bucket(g.ctm.scale())}
	if n := len(s.kinds); n > 0 {
		key.step = s.kinds[n-1].step
	}
	repeats := extra != 0 || s.places[stream.Ref] >= maxPlaces
	switch {
	case repeats:
		key.flags |= repeating
	case s.page.File.opt.Placeless:
		key.shows = g.showing(s.area)
	default:
		key.x, key.y = int32(clamp(g.ctm[4])), int32(clamp(g.ctm[5]))
	}
	if s.walked[key] {
		return false
	}
	before := s.left
	if s.costs[stream.Ref] > before && s.err == nil {
		s.err = errOperators // at once, and not when the budget is used up
		return false
	}
	s.walked[key] = true
	s.places[stream.Ref]++
	s.depth++
	s.active[stream.Ref] = true
	around := s.in
	s.in = stream.Ref
	walk(repeats)
	s.in = around
	s.costs[stream.Ref] = max(s.costs[stream.Ref], before-s.left)
	delete(s.active, stream.Ref)
	s.depth--
	return true
}

// repeating is the flag of a walk whose content may lie anywhere.
const repeating = 1 << 7

// showing returns what clip and area leave to be seen, in the present space and to
// a hundredth of a point.
func (g *state) showing(area Rect) Rect {
	back, ok := g.ctm.inverse()
	if !ok {
		return nothing
	}
	r := g.clip.Intersect(area)
	if r[0] > r[2] || r[1] > r[3] {
		return nothing
	}
	r = back.Bounds(r)
	for i := range r {
		r[i] = math.Round(r[i] * 100)
	}
	return r
}

func clamp(v float64) float64 { return min(max(v, -1e9), 1e9) }

// flags packs what decides how a stream's content counts.
func (s *scan) flags(g *state) uint8 {
	var f uint8
	for i, set := range []bool{g.overFill, g.overStroke, s.hidden > 0, s.masking > 0, s.blendRGB, g.clip.meets(s.area), g.normal} {
		if set {
			f |= 1 << i
		}
	}
	return f
}

// byNumber returns the keys of a map by their object numbers, so that findings
// come in one order.
func byNumber[T any](m map[pdfobj.Ref]T) []pdfobj.Ref {
	return slices.SortedFunc(maps.Keys(m), func(a, b pdfobj.Ref) int { return cmp.Or(cmp.Compare(a.Num, b.Num), cmp.Compare(a.Gen, b.Gen)) })
}

// readAll gives up to so many decoded bytes of a stream.
func readAll(doc *pdfobj.Document, stream *pdfobj.Stream, limit int64) (string, error) {
	if stream == nil {
		return "", nil
	}
	r, err := doc.Decoded(stream)
	if err != nil {
		return "", err
	}
	b, err := io.ReadAll(io.LimitReader(r, limit))
	return string(b), err
}

// scope returns the scope of a resource dictionary, one for each object.
func (s *scan) scope(o pdfobj.Object, caller *scope) *scope {
	ref, isRef := o.(pdfobj.Ref)
	if isRef && s.scopes[ref] != nil {
		return s.scopes[ref]
	}
	d := s.doc.Dict(o)
	if d == nil {
		return newScope(nil, caller)
	}
	sc := newScope(d, nil)
	sc.object, sc.holder = o, s.in
	if isRef {
		s.scopes[ref], sc.holder = sc, ref
	}
	return sc
}

// borrow notes that something without resources, a form, a tiling pattern or a
// Type 3 font (7.8.3, 9.6.5), finds them with whoever uses it.
func (s *scan) borrow(ref pdfobj.Ref, user *scope, what string) *borrower {
	from := user.owner()
	b := s.borrowers[ref]
	switch {
	case ref.IsZero():
	case b == nil:
		b = &borrower{from: from}
		s.borrowers[ref] = b
		if s.page.Lent == nil {
			s.page.Lent = map[pdfobj.Ref]pdfobj.Object{}
		}
		if s.page.Lent[ref] = from.object; from == s.root {
			s.page.Lent[ref] = nil
		}
	case b.from != from && (b.from.holder != from.holder || b.from == s.root || from == s.root):
		b.differ = what
	}
	return b
}

// checkBorrowers tells of what would need the resources of more than one.
func (s *scan) checkBorrowers() {
	for _, ref := range byNumber(s.borrowers) {
		if b := s.borrowers[ref]; b.needs && b.differ != "" {
			s.found.add(ResourcesDiffer, objectName(ref), "%s has no resources of its own, and is used with those of more than one; no copy can have both", b.differ)
		}
	}
}

// blendsInRGB reports whether a group's colour space is of RGB.
func blendsInRGB(s *scan, o pdfobj.Object, sc *scope) bool {
	return o != nil && spaceOf(s, o, sc, false, 0).family == rgbSpace
}

// objectName names an object for people; "" for one without a number.
func objectName(ref pdfobj.Ref) string {
	if ref.IsZero() {
		return ""
	}
	return fmt.Sprintf("object %d", ref.Num)
}

func objectOf(o pdfobj.Object) string {
	ref, _ := o.(pdfobj.Ref)
	return objectName(ref)
}

// checkFilters looks for filters that a press's PDF must not have.
func (s *scan) checkFilters(o pdfobj.Object, what string) {
	list := s.doc.Array(o)
	if list == nil {
		list = pdfobj.Array{o}
	}
	for _, one := range list {
		stream := s.doc.Stream(one)
		if stream == nil {
			continue
		}
		stages, err := s.doc.Stages(stream)
		if err == nil && slices.ContainsFunc(stages, func(st pdfobj.Stage) bool { return st.Filter == "LZWDecode" }) {
			s.found.add(LZW, objectName(stream.Ref), "%s is compressed with LZW, which PDF/X forbids", what)
		}
	}
}
