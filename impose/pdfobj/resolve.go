package pdfobj

import (
	"cmp"
	"errors"
	"fmt"
)

const (
	// maxHops bounds references to references, which 7.3.10 does not allow.
	maxHops = 32
	// maxNested bounds objects that are loaded while another is: the length
	// of a stream, the object stream that holds it and so on.
	maxNested = 8
)

// Get returns the object that r points to: nil if there is none, as 7.3.10
// asks. A damaged object is nil too, with a note in [Document.Repaired]. The
// only errors are ErrBudget, the context's and those of the source.
func (d *Document) Get(r Ref) (Object, error) {
	o, err := d.load(r)
	for range maxHops {
		next, isRef := o.(Ref)
		if err != nil || !isRef {
			return o, err
		}
		o, err = d.load(next)
	}
	if err == nil {
		d.note("object %d: a chain of references without an end", r.Num)
	}
	return nil, err
}

// Resolve returns o itself or, if o is a reference, what it points to.
func (d *Document) Resolve(o Object) (Object, error) {
	if r, ok := o.(Ref); ok {
		return d.Get(r)
	}
	return o, nil
}

// exists says whether the table lists an object of that number.
func (d *Document) exists(r Ref) bool {
	e := d.table.get(r.Num)
	return e.kind == entryPlain || e.kind == entryCompressed
}

// comparePlaces orders objects as they lie in the file.
func (d *Document) comparePlaces(a, b Ref) int {
	place := func(r Ref) (pos int64, index uint32) {
		e := d.table.get(r.Num)
		if e.kind == entryCompressed {
			return d.table.get(int(min(e.pos, maxObjectNumber+1))).pos, e.index + 1
		}
		return e.pos, 0
	}
	posA, indexA := place(a)
	posB, indexB := place(b)
	return cmp.Or(cmp.Compare(posA, posB), cmp.Compare(indexA, indexB), cmp.Compare(a.Num, b.Num), cmp.Compare(a.Gen, b.Gen))
}

// load returns the object of r, which may itself be a reference.
func (d *Document) load(r Ref) (Object, error) {
	if o, ok := d.cache.get(r); ok {
		return o, nil
	}
	e := d.table.get(r.Num)
	if !d.exists(r) {
		return nil, nil
	}
	if err := d.expired(); err != nil {
		return nil, err
	}
	if d.loading[r.Num] || len(d.loading) >= maxNested {
		return nil, nil
	}
	d.loading[r.Num] = true
	defer delete(d.loading, r.Num)

	o, cost, err := d.read(r, e)
	if err != nil {
		if d.fatal(err) {
			return nil, fmt.Errorf("object %d: %w", r.Num, err)
		}
		d.note("object %d: %v; taken as null", r.Num, err)
		d.harm(r.Num, "%v", err)
		o = nil
	}
	d.cache.put(r, o, cost)
	return o, nil
}

// fatal says whether err must end the reading. Damage in the file never does.
func (d *Document) fatal(err error) bool {
	return errors.Is(err, ErrBudget) || d.expired() != nil || d.parser.err != nil
}

// read reads the object of an entry. If it is not where the table says, the
// scan of the file is asked.
func (d *Document) read(r Ref, e entry) (o Object, cost int64, err error) {
	o, gen, cost, err := d.readEntry(r.Num, e)
	if err != nil && !e.scanned && !d.fatal(err) {
		was := err
		if err := d.runScan(); err != nil {
			return nil, 0, err
		}
		found := d.scanned.table.get(r.Num)
		if found.kind == entryUnknown {
			return nil, 0, was
		}
		e = found
		if o, gen, cost, err = d.readEntry(r.Num, e); err == nil {
			d.table.set(r.Num, e)
			d.note("object %d: the cross-reference table was wrong: %v", r.Num, was)
		}
	}
	if err != nil {
		return nil, 0, err
	}
	if gen != r.Gen && int(e.gen) != r.Gen {
		return nil, 0, nil // an object of that number, but another one
	}
	return o, cost, nil
}

// readEntry also returns the generation that the object states.
func (d *Document) readEntry(num int, e entry) (o Object, gen int, cost int64, err error) {
	if e.kind == entryCompressed {
		o, cost, err = d.compressed(num, e)
		return o, 0, cost, err
	}
	o, head, cost, err := d.readAt(e.pos, num)
	return o, head.Gen, cost, err
}

// readAt parses the indirect object at an offset (7.3.10), which counts from
// the start of the file or, in some files, from its header.
func (d *Document) readAt(off int64, num int) (Object, Ref, int64, error) {
	head, err := d.objectHeader(off)
	if (err != nil || head.Num != num) && d.header > 0 && !d.fatal(err) {
		if h, err2 := d.objectHeader(off + d.header); err2 == nil && h.Num == num {
			head, err = h, nil
		} else {
			d.parser.start()
		}
	}
	if err != nil {
		return nil, head, 0, err
	}
	if head.Num != num {
		return nil, head, 0, fmt.Errorf("object %d stands at its place", head.Num)
	}
	start := d.parser.offset()
	o, err := d.parser.object(0)
	if long := d.parser.offset() - start; long > 64<<10 {
		if err := d.search(long); err != nil {
			return nil, head, 0, err
		}
	}
	if err == errNoObject {
		err = nil // "1 0 obj endobj" is null
	}
	if err != nil {
		return nil, head, 0, err
	}
	cost := d.parser.offset() - start
	t, err := d.parser.token()
	if err != nil {
		return nil, head, 0, err
	}
	if dict, ok := o.(Dict); ok && t.isKeyword("stream") {
		s, err := d.stream(dict, head)
		return s, head, 512, err
	}
	if t.kind == tokenEOF {
		d.harm(num, "it is cut off by the end of the file")
	}
	if d.crypt != nil && head.Num != d.crypt.ref.Num {
		o = d.crypt.decryptStrings(o, head)
	}
	return o, head, cost, nil
}

var errNoHeader = errors.New("no object stands at its place")

// objectHeader reads "N G obj" at an offset.
func (d *Document) objectHeader(off int64) (Ref, error) {
	p := &d.parser
	p.start()
	if off < 0 || off >= d.size {
		return Ref{}, errNoHeader
	}
	p.seek(off)
	num, err := p.token()
	if err != nil {
		return Ref{}, err
	}
	if num.kind != tokenInteger || num.num < 0 || num.num > maxObjectNumber {
		return Ref{}, errNoHeader
	}
	gen, err := p.token()
	if err != nil {
		return Ref{}, err
	}
	if gen.kind != tokenInteger || gen.num < 0 || gen.num > maxGeneration {
		return Ref{}, errNoHeader
	}
	word, err := p.token()
	if err != nil {
		return Ref{}, err
	}
	if !word.isKeyword("obj") {
		return Ref{}, errNoHeader
	}
	return Ref{int(num.num), int(gen.num)}, nil
}

// cache keeps loaded objects until their text adds up to maxCached bytes,
// then forgets all of them.
type cache struct {
	objects map[Ref]Object
	bytes   int64
}

const maxCached = 2 << 20

func (c *cache) get(r Ref) (Object, bool) {
	o, ok := c.objects[r]
	return o, ok
}

func (c *cache) put(r Ref, o Object, cost int64) {
	if c.bytes += cost + 32; c.objects == nil || c.bytes > maxCached {
		c.objects = map[Ref]Object{}
		c.bytes = cost + 32
	}
	c.objects[r] = o
}
