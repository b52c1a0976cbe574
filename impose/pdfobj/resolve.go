package pdfobj

import (
	"cmp"
	"fmt"
)

const (
	// maxHops bounds references to references, which 7.3.10 does not allow.
	maxHops = 32
	// maxNested bounds objects that are loaded while another is: the length
	// of a stream, the object stream that holds it and so on.
	maxNested = 8
)

// resolver finds objects by their references, and keeps those used last.
type resolver struct {
	doc     *Document
	file    *source
	damage  *Damage
	table   table
	cache   cache
	streams objectStreams
	loading map[int]bool // what is being loaded, by object number
}

// get returns the object that r points to: nil if there is none, as 7.3.10
// asks. A damaged object is nil too, with a note in [Damage.Notes]. The
// only errors are ErrBudget, the context's and those of the source.
func (x *resolver) get(r Ref) (Object, error) {
	o, err := x.load(r)
	for range maxHops {
		next, isRef := o.(Ref)
		if err != nil || !isRef {
			return o, err
		}
		o, err = x.load(next)
	}
	if err == nil {
		x.damage.note("object %d: a chain of references without an end", r.Num)
	}
	return nil, err
}

// Resolve returns o itself or, if o is a reference, what it points to.
func (d *Document) Resolve(o Object) (Object, error) {
	if r, ok := o.(Ref); ok {
		return d.objects.get(r)
	}
	return o, nil
}

// exists reports whether the table lists an object of that number.
func (x *resolver) exists(r Ref) bool {
	e := x.table.get(r.Num)
	return e.kind == entryPlain || e.kind == entryCompressed
}

// comparePlaces orders objects as they lie in the file.
func (x *resolver) comparePlaces(a, b Ref) int {
	place := func(r Ref) (pos int64, index uint32) {
		e := x.table.get(r.Num)
		if e.kind == entryCompressed {
			return x.table.get(int(min(e.pos, maxObjectNumber+1))).pos, e.index + 1
		}
		return e.pos, 0
	}
	posA, indexA := place(a)
	posB, indexB := place(b)
	return cmp.Or(cmp.Compare(posA, posB), cmp.Compare(indexA, indexB), cmp.Compare(a.Num, b.Num), cmp.Compare(a.Gen, b.Gen))
}

// load returns the object of r, which may itself be a reference.
func (x *resolver) load(r Ref) (Object, error) {
	if o, ok := x.cache.get(r); ok {
		return o, nil
	}
	e := x.table.get(r.Num)
	if !x.exists(r) {
		return nil, nil
	}
	if err := x.file.expired(); err != nil {
		return nil, err
	}
	if x.loading[r.Num] || len(x.loading) >= maxNested {
		return nil, nil
	}
	x.loading[r.Num] = true
	defer delete(x.loading, r.Num)

	o, cost, err := x.read(r, e)
	if err != nil {
		if x.file.fatal(err) {
			return nil, fmt.Errorf("object %d: %w", r.Num, err)
		}
		x.damage.note("object %d: %v; taken as null", r.Num, err)
		x.damage.lost(r.Num, "%v", err)
		o = nil
	}
	x.cache.put(r, o, cost)
	return o, nil
}

// read reads the object of an entry. If it is not where the table says, the
// scan of the file is asked.
func (x *resolver) read(r Ref, e entry) (o Object, cost int64, err error) {
	o, gen, cost, err := x.readEntry(r.Num, e)
	if err != nil && !e.scanned && !x.file.fatal(err) {
		was := err
		if err := x.doc.mender.scan(); err != nil {
			return nil, 0, err
		}
		found := x.doc.mender.scanned.table.get(r.Num)
		if found.kind == entryUnknown {
			return nil, 0, was
		}
		e = found
		if o, gen, cost, err = x.readEntry(r.Num, e); err == nil {
			x.table.set(r.Num, e)
			x.damage.note("object %d: the cross-reference table was wrong: %v", r.Num, was)
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
func (x *resolver) readEntry(num int, e entry) (o Object, gen int, cost int64, err error) {
	if e.kind == entryCompressed {
		o, cost, err = x.compressed(num, e)
		return o, 0, cost, err
	}
	o, head, cost, err := x.readAt(e.pos, num)
	return o, head.Gen, cost, err
}

// readAt parses the indirect object at an offset (7.3.10), which counts from
// the start of the file or, in some files, from its header.
func (x *resolver) readAt(off int64, num int) (Object, Ref, int64, error) {
	head, err := x.file.objectHeader(off)
	if (err != nil || head.Num != num) && x.file.header > 0 && !x.file.fatal(err) {
		if h, err2 := x.file.objectHeader(off + x.file.header); err2 == nil && h.Num == num {
			head, err = h, nil
		} else {
			x.file.parser.start()
		}
	}
	if err != nil {
		return nil, head, 0, err
	}
	if head.Num != num {
		return nil, head, 0, fmt.Errorf("object %d stands at its place", head.Num)
	}
	start := x.file.parser.offset()
	o, err := x.file.parser.object(0)
	if long := x.file.parser.offset() - start; long > 64<<10 {
		if err := x.file.search(long); err != nil {
			return nil, head, 0, err
		}
	}
	if err == errNoObject {
		err = nil // "1 0 obj endobj" is null
	}
	if err != nil {
		return nil, head, 0, err
	}
	cost := x.file.parser.offset() - start
	t, err := x.file.parser.token()
	if err != nil {
		return nil, head, 0, err
	}
	if dict, ok := o.(Dict); ok && t.isKeyword("stream") {
		s, err := x.stream(dict, head)
		return s, head, 512, err
	}
	if t.kind == tokenEOF {
		x.damage.lost(num, "it is cut off by the end of the file")
	}
	if x.doc.security.crypt != nil && head.Num != x.doc.security.crypt.ref.Num {
		o = x.doc.security.crypt.decryptStrings(o, head)
	}
	return o, head, cost, nil
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
