package plate

import (
	"cmp"
	"context"
	"fmt"
	"io"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
	"quoin/impose/raster"
)

// builder writes the copy of a page in which one ink is painted as grey, or up to
// three as red, green and blue: for looking only, never for the press. All its content
// shares one dictionary of resources, so that names are the copy's own.
type builder struct {
	inking
	ctx    context.Context
	page   *artwork.Page
	doc    *pdfobj.Document
	spaces *spaces
	told   *approximations

	out    raster.Draft
	w      *pdfobj.Writer
	copier *pdfobj.Copier
	matrix *artwork.Matrix // from the page's space to that of the copy; nil for none
	cull   *artwork.Rect   // forms of the page that lie outside are left out; nil for none

	shared      pdfobj.Dict // the resources of the copy
	resources   pdfobj.Ref
	substitutes substitutes
	names       map[string]pdfobj.Name
	scopes      map[pdfobj.Ref]*resources
	states      map[pdfobj.Ref]*stateChange
	made        map[string]pdfobj.Name // forms, patterns and fonts by what decides their look
	copies      map[pdfobj.Ref]int     // how many copies of a stream there are
	patterns    map[pdfobj.Ref]*pattern
	numbered    int                 // patterns so far
	coloured    map[pdfobj.Ref]bool // Type 3 fonts with colours of their own

	active map[pdfobj.Ref]bool
	depth  int
	// smallCells leaves tiling patterns the cells that they have: a label on a frame,
	// which is a form, shows as one that is drawn by itself then.
	smallCells bool
	left       int        // operators that may still be run
	lastForm   pdfobj.Ref // the form that was written last
	snaps      bool       // something is painted that the renderer puts on whole pixels
	bent       bool       // something blends in a way that is no line: see affine
	scout      *scout     // looks instead of drawing; nil for none
	onBlack    bool       // the page is black to begin with
	span       *span      // what is drawn of the page's own content; nil for all
}

const (
	maxNesting = 32
	maxStates  = 4096
	// maxCopies bounds the copies of one form or glyph for the different
	// colours and overprint that it may inherit.
	maxCopies    = 64
	maxOperators = 100_000_000
)

func newBuilder(ctx context.Context, p *artwork.Page, of []Ink, sp *spaces, told *approximations) (*builder, error) {
	b := newParts(ctx, p, of, sp, told)
	w, err := pdfobj.NewWriter(&b.out, pdfobj.WriterOptions{Version: "1.7"})
	if err != nil {
		return nil, err
	}
	b.w, b.copier, b.resources = w, pdfobj.NewCopier(p.Doc, w), w.Alloc()
	return b, nil
}

func newParts(ctx context.Context, p *artwork.Page, of []Ink, sp *spaces, told *approximations) *builder {
	b := &builder{
		ctx: ctx, page: p, doc: p.Doc, inking: inking{inks: of}, spaces: sp, told: told, shared: pdfobj.Dict{},
		names: map[string]pdfobj.Name{}, scopes: map[pdfobj.Ref]*resources{},
		states: map[pdfobj.Ref]*stateChange{}, made: map[string]pdfobj.Name{}, copies: map[pdfobj.Ref]int{},
		patterns: map[pdfobj.Ref]*pattern{}, coloured: map[pdfobj.Ref]bool{}, active: map[pdfobj.Ref]bool{}, left: maxOperators,
	}
	b.substitutes = substitutes{build: b, made: map[int]pdfobj.Object{}}
	return b
}

// build writes the copy. Its page is box, in the space of the copy.
func (b *builder) build(box artwork.Rect) (*raster.Draft, error) {
	x, err := b.run(box)
	if err != nil {
		return nil, err
	}
	return b.finish(x, box)
}

// run goes through all that the page shows.
func (b *builder) run(box artwork.Rect) (*rewriter, error) {
	page := b.page
	res := b.scope(page.Dict["Resources"], nil)
	b.noteGroup(page.Group, res, "the page")
	x := newRewriter(b, res, newState(b.spaces))
	if b.onBlack { // a page starts from white, whatever it is laid on
		x.to.write("0 g ")
		x.to.numbers([]float64{box[0] - 1, box[1] - 1, box.Width() + 2, box.Height() + 2})
		x.to.write("re f\n")
	}
	x.to.write("q\n")
	if b.matrix != nil {
		x.to.numbers(b.matrix[:])
		x.to.write("cm\n")
	}
	x.top = true
	x.sync()
	if err := x.run(page.Dict["Contents"]); err != nil {
		return nil, err
	}
	for range x.depth + 1 {
		x.to.write("Q\n")
	}
	for _, a := range page.Appearances {
		if b.span != nil && b.span.to != toTheEnd {
			break // they come last
		}
		if err := b.appearance(x, a); err != nil {
			return nil, err
		}
	}
	return x, nil
}

// finish writes the rest of the copy.
func (b *builder) finish(x *rewriter, box artwork.Rect) (*raster.Draft, error) {
	page := b.page
	content, err := b.stream(pdfobj.Dict{}, x.to)
	if err != nil {
		return nil, err
	}
	if err := b.w.Put(b.resources, b.shared); err != nil {
		return nil, err
	}
	pages, leaf, catalog := b.w.Alloc(), b.w.Alloc(), b.w.Alloc()
	media := pdfobj.Array{}
	for _, v := range box {
		media = append(media, pdfobj.Real(v))
	}
	dict := pdfobj.Dict{"Type": pdfobj.Name("Page"), "Parent": pages, "MediaBox": media, "Resources": b.resources, "Contents": content}
	if page.Group != nil {
		dict["Group"] = b.group(page.Group)
	}
	if err := b.w.Put(leaf, dict); err != nil {
		return nil, err
	}
	if err := b.w.Put(pages, pdfobj.Dict{"Type": pdfobj.Name("Pages"), "Kids": pdfobj.Array{leaf}, "Count": pdfobj.Integer(1)}); err != nil {
		return nil, err
	}
	if err := b.w.Put(catalog, pdfobj.Dict{"Type": pdfobj.Name("Catalog"), "Pages": pages}); err != nil {
		return nil, err
	}
	if err := b.w.Close(catalog, pdfobj.Ref{}); err != nil {
		return nil, err
	}
	return &b.out, nil
}

// appearance paints an annotation's picture after the page's content.
func (b *builder) appearance(page *rewriter, a artwork.Appearance) error {
	if !b.page.Shows(a.OC) {
		return nil
	}
	x := newRewriter(b, nil, newState(b.spaces))
	x.sync()
	x.to.write("q ")
	if b.matrix != nil {
		x.to.numbers(b.matrix[:])
		x.to.write("cm ")
	}
	x.to.numbers(a.Matrix[:])
	x.to.write("cm\n")
	if err := x.form(b.doc.Stream(a.Form)); err != nil {
		return err
	}
	x.to.write("Q\n")
	page.to.write(x.to.out.String())
	return nil
}

// group copies a transparency group's dictionary without its colour space,
// which would blend grey as something else.
func (b *builder) group(g pdfobj.Dict) pdfobj.Dict {
	out := pdfobj.Dict{"Type": pdfobj.Name("Group"), "S": pdfobj.Name("Transparency")}
	if k, _ := b.doc.Bool(g["K"]); k && !b.mask() {
		b.told.note("a knockout group", "its objects are drawn on each other where each should be drawn on what lies beneath the group")
	}
	if b.mask() {
		out["CS"] = pdfobj.Name("DeviceGray")
	}
	for _, key := range []pdfobj.Name{"I", "K"} {
		if v, ok := b.doc.Bool(g[key]); ok {
			out[key] = v
		}
	}
	return out
}

// mask reports whether the copy is of no ink, but of a soft mask's brightness.
func (in *inking) mask() bool { return in.inks[0].mask }

// copy copies an object of the page with all that it needs.
func (b *builder) copy(o pdfobj.Object) (pdfobj.Object, error) {
	if b.looks {
		return nil, nil
	}
	return b.copier.Copy(o)
}

// noteGroup tells a group that blends in RGB.
func (b *builder) noteGroup(g pdfobj.Dict, res *resources, what string) {
	if g == nil || g["CS"] == nil || b.mask() {
		return
	}
	if f := b.spaces.read(g["CS"], res, 0).family; f == rgbSpace || f == labSpace {
		b.told.note(what+" blends in RGB", "ink blends as ink here; a press that blends in RGB turns it into other inks")
	}
}

// stream writes content as a stream of the copy, and ends it.
func (b *builder) stream(dict pdfobj.Dict, of *output) (pdfobj.Ref, error) {
	defer of.before.Close()
	if b.looks {
		return b.w.Alloc(), nil
	}
	ref, size := b.w.Alloc(), of.size()
	before, err := of.before.Reader()
	if err = cmp.Or(of.err, err); err != nil {
		return ref, err
	}
	return ref, b.w.PutStream(ref, dict, io.MultiReader(before, &of.out), size, false)
}

// enter begins the content of a stream, unless it is inside itself.
func (b *builder) enter(ref pdfobj.Ref) bool {
	if b.depth >= maxNesting || !ref.IsZero() && b.active[ref] {
		return false
	}
	b.depth++
	if !ref.IsZero() {
		b.active[ref] = true
	}
	return true
}

func (b *builder) exit(ref pdfobj.Ref) {
	b.depth--
	delete(b.active, ref)
}

// copyOnce returns the name of what made makes of a stream painted in a state,
// made once for each state that differs in what the content may inherit.
func (b *builder) copyOnce(kind string, ref pdfobj.Ref, state string, made func() (pdfobj.Name, error)) (pdfobj.Name, error) {
	if ref.IsZero() {
		return made()
	}
	key := fmt.Sprint(kind, ref, state)
	if n, ok := b.made[key]; ok {
		return n, nil
	}
	last := fmt.Sprint(kind, ref)
	if b.copies[ref] >= maxCopies {
		b.told.note(fmt.Sprintf("object %d", ref.Num), fmt.Sprintf("it inherits more than %d sets of colours", maxCopies))
		return b.made[last], nil
	}
	b.copies[ref]++
	n, err := made()
	if err == nil {
		b.made[key], b.made[last] = n, n
	}
	return n, err
}
