// Package verify proves that a written file is what its summary says, from the
// file, the summary's JSON and the artworks alone. It shares no code with what
// lays out and writes: matrices, colours, layers and annotations are worked out
// here once more. Two readers look at the file: our own lazy one, which follows
// everything, and pdfcpu, which must read every object alike (see readers.go).
package verify

import (
	"context"
	"fmt"
	"io"
	"sync"

	"quoin/impose/pdfobj"
	"quoin/impose/say"
)

// Options say how a file is verified.
type Options struct {
	Summary string // path of the summary, for artworks that lie beside it
	Name    string // of the file, for people; its path if ""
	// Password, if set, gives the password of an artwork by its name in the job.
	Password func(file string) string
	// Lies, if set, returns where the content of an artwork lies that the summary
	// names by a path; it is then looked for nowhere else.
	Lies func(path string) string
	// Alone leaves out the second reader.
	Alone bool

	early []judged // see Early
}

// check is one verification under way.
type check struct {
	*Result
	plan     *Expected
	doc      *pdfobj.Document
	artworks []*source
	closers  []io.Closer
	forms    *forms               // once the artworks are open
	other    <-chan secondReading // of the file; nil where nobody reads it again
	beside   sync.WaitGroup       // who else reads the file
}

// unreadable says that the written file can't be read.
func unreadable(path string, err error) error {
	return &say.Refusal{Kind: say.Artwork, Text: path, Err: err, Way: "impose again; the file is no PDF, or was cut short"}
}

// File verifies the file at path. An error means that it could not be looked
// at: a *say.Refusal of the file or of an artwork, or the context's.
func File(ctx context.Context, path string, plan *Expected, opt Options) (*Result, error) {
	h := newHasty(&opt)
	h.early = opt.early
	r, err := verify(ctx, path, plan, opt, h.find)
	if right := h.wasRight(); err == nil && right {
		return r, nil
	}
	return verify(ctx, path, plan, opt, opt.find)
}

// verify is File with the artworks where find says that they lie.
func verify(ctx context.Context, path string, plan *Expected, opt Options, find func(path, want string) (at, sum string, err error)) (r *Result, err error) {
	c := &check{
		Result: &Result{Schema: Schema, File: path, Differences: []Difference{}, Notes: []string{}},
		plan:   plan,
	}
	if opt.Name != "" {
		c.File = opt.Name
	}
	defer func() {
		c.beside.Wait() // it may be taken away next
		for _, open := range c.closers {
			open.Close()
		}
		if p := recover(); p != nil { // one bad file must not take a night's run with it
			r, err = nil, unreadable(path, fmt.Errorf("the check failed: %v", p))
		}
	}()
	if c.doc, err = pdfobj.OpenFile(path, pdfobj.Limits{Context: ctx}); err != nil {
		return nil, unreadable(path, err)
	}
	c.closers = append(c.closers, c.doc)
	// The file is hashed beside all else that reads it, and read by the other reader.
	changed := make(chan error, 1)
	c.beside.Go(func() { changed <- c.plan.changed(path) })
	if !opt.Alone {
		c.other = c.beginSecond(path)
	}
	if err := c.sources(ctx, opt, find); err != nil {
		return nil, err
	}
	if err := c.run(path); err != nil {
		return nil, err
	}
	switch err := <-changed; err.(type) {
	case nil:
	case *otherFile:
		c.differs(FileChanged, "", "%v", err)
	default:
		return nil, unreadable(path, err)
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	for _, d := range append([]*pdfobj.Document{c.doc}, c.documents()...) {
		if d.Err() != nil {
			return nil, unreadable(path, d.Err())
		}
	}
	c.Same = len(c.Differences) == 0
	return c.Result, nil
}

// documents returns those of the artworks.
func (c *check) documents() (list []*pdfobj.Document) {
	for _, a := range c.artworks {
		list = append(list, a.doc)
	}
	return list
}

// otherFile says that a file is not the one that a summary speaks of.
type otherFile struct{ has, had string }

func (e *otherFile) Error() string {
	return fmt.Sprintf("its SHA-256 is %.12s..., not %.12s... as it was written", e.has, e.had)
}

// changed hashes the file at path; it gives an *otherFile where that isn't what the
// plan says, if it says so.
func (p *Expected) changed(path string) error {
	want := p.sum("output", "")
	if want == "" {
		return nil
	}
	sum, err := sha256Of(path)
	if err == nil && sum != want {
		return &otherFile{sum, want}
	}
	return err
}

func (c *check) run(path string) error {
	c.forms = &forms{Result: c.Result, doc: c.doc, artworks: c.artworks, renames: map[pdfobj.Name]pdfobj.Name{}, shared: map[pdfobj.Name]sharedSpace{},
		known: map[formKey]bool{}, wrapped: map[pdfobj.Ref][]wrapped{}, groups: map[*pdfobj.Document]map[pdfobj.Ref]pdfobj.Ref{}}
	for range c.artworks {
		c.forms.proved = append(c.forms.proved, map[[2]pdfobj.Ref]bool{})
	}
	c.wishes()
	frame := c.frame()
	c.Artworks = len(c.artworks)
	count, err := c.doc.PageCount()
	if err != nil {
		return unreadable(path, err)
	}
	c.Pages = count
	if count != c.plan.Written.Pages {
		c.differs(PageCount, "", "%d frames, not %d", count, c.plan.Written.Pages)
	}
	for n := range count {
		page, err := c.doc.Page(n)
		if err != nil {
			return unreadable(path, err)
		}
		frame.one(n+1, page)
	}
	c.document()
	c.overlap()
	for _, mended := range c.doc.Damage().Notes() {
		c.differs(Damaged, "", "the file is damaged: %s", mended)
	}
	if c.other != nil {
		c.secondReader(<-c.other)
	}
	return nil
}

// wishes takes what the job wants to be otherwise than in the artworks.
func (c *check) wishes() {
	for _, r := range c.plan.Written.Renames {
		c.forms.renames[rawName(r.From)] = rawName(r.To)
	}
	for _, s := range c.plan.Written.Shared {
		name := rawName(s.Ink)
		from := c.artworks[s.Artwork-1]
		if spaces := c.spacesOf(from, name); len(spaces) > 0 {
			c.forms.shared[name] = sharedSpace{from.doc, spaces, from.name()}
		} else {
			c.differs(InkSpace, "", "%s has no colour space of %q for all artworks to share", from.name(), name)
		}
	}
}

// frame prepares what proves the frames one by one.
func (c *check) frame() *pageCheck {
	stations := &stationCheck{c.Result, c.plan, c.doc, c.artworks, c.forms}
	drawn := &drawnCheck{Result: c.Result, plan: c.plan, doc: c.doc, artworks: c.artworks, forms: c.forms, maskForms: map[[2]pdfobj.Ref]bool{}, inks: map[string]bool{}}
	for _, i := range c.plan.Inks {
		drawn.inks[i.Name] = !i.Idle
	}
	return &pageCheck{c.Result, c.plan, c.doc, c.artworks, c.forms, stations, drawn}
}
