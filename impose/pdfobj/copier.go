package pdfobj

import (
	"fmt"
	"slices"
)

// Placed is a reference of the file being written. A [Copier] passes it
// through where it would translate a [Ref].
type Placed Ref

// Place marks the references in an object of the file being written, so that it
// can stand in an object that a [Copier] copies.
func Place(o Object) Object {
	switch v := o.(type) {
	case Ref:
		return Placed(v)
	case Array:
		out := make(Array, len(v))
		for i, e := range v {
			out[i] = Place(e)
		}
		return out
	case Dict:
		out := make(Dict, len(v))
		for k, e := range v {
			out[k] = Place(e)
		}
		return out
	}
	return o
}

// Copier copies objects of a document into a file, each once, however often
// it is asked for. It follows references without recursion, walks keys in
// byte order and copies streams byte for byte, without decoding them.
//
// It leaves out what leads from a page's content to other pages: references
// to pages and page tree nodes, Parent entries of structure elements and form
// fields, and the keys StructParent and StructParents.
type Copier struct {
	// Replace, if set, is asked about each indirect object, with its
	// reference, and about each direct dictionary and array in it, with a zero
	// reference. If it returns true, the object it returns is copied instead;
	// it belongs to the source document, but may hold Placed references. It
	// must not change the object it is given, and is asked again about what is
	// inside of the object it returns, not about that object itself.
	Replace func(ref Ref, o Object) (Object, bool)

	doc    *Document
	w      *Writer
	placed refMap
	queue  []Ref // found and not yet copied

	base  *Copier        // copies what is not to be copied anew; nil for none
	fresh func(Ref) bool // tells what is to be copied anew
}

// NewCopier returns a copier from doc to w.
func NewCopier(doc *Document, w *Writer) *Copier {
	return &Copier{doc: doc, w: w}
}

// Again returns a copier that copies the objects for which fresh is true anew,
// and takes all others as c has copied them or will. An object that is taken
// as it is doesn't lead back to the new copies.
func (c *Copier) Again(fresh func(Ref) bool) *Copier {
	return &Copier{Replace: c.Replace, doc: c.doc, w: c.w, base: c, fresh: fresh}
}

// Copy writes all that o refers to and returns o with references of the new
// file. A *Stream that is passed in directly becomes a new object, whose
// reference is returned.
func (c *Copier) Copy(o Object) (Object, error) {
	if s, ok := o.(*Stream); ok {
		ref := c.w.Alloc()
		if err := c.stream(ref, s); err != nil {
			return nil, err
		}
		return ref, c.drain()
	}
	translated, err := c.translate(o, true)
	if err != nil {
		return nil, err
	}
	return translated, c.drain()
}

func (c *Copier) drain() error {
	for len(c.queue) > 0 {
		batch := c.queue
		c.queue = nil
		// In the order of the file, so that an object stream is decoded once
		// and not again for each of its objects.
		slices.SortFunc(batch, func(a, b Ref) int { return c.doc.objects.comparePlaces(a, b) })
		for _, source := range batch {
			if err := c.object(source); err != nil {
				return fmt.Errorf("copying object %d: %w", source.Num, err)
			}
		}
	}
	if c.base != nil {
		return c.base.drain()
	}
	return c.doc.Err()
}

// object copies one indirect object.
func (c *Copier) object(source Ref) error {
	target := c.placed.get(source)
	o, err := c.doc.objects.get(source)
	if err != nil {
		return err
	}
	if c.Replace != nil {
		if other, ok := c.Replace(source, o); ok {
			o = other
		}
	}
	if s, ok := o.(*Stream); ok {
		return c.stream(target, s)
	}
	if c.isPage(o) { // where nobody would expect one
		return c.w.Put(target, nil)
	}
	translated, err := c.translate(o, false)
	if err != nil {
		return err
	}
	return c.w.Put(target, translated)
}

func (c *Copier) stream(target Ref, s *Stream) error {
	o, err := c.translate(without(s.Dict, "Length"), false)
	if err != nil {
		return err
	}
	return c.w.PutCopy(target, o.(Dict), c.doc, s)
}

func without(d Dict, key Name) Dict {
	d = d.Clone()
	delete(d, key)
	return d
}

// translate returns o with references of the new file. ask says whether
// Replace is still to be asked about o itself. The recursion goes into direct
// objects only, whose nesting is bounded.
func (c *Copier) translate(o Object, ask bool) (Object, error) {
	return c.translateAt("", o, ask, 0)
}

// translateAt translates the value of a key; of an array the key is "".
func (c *Copier) translateAt(key Name, o Object, ask bool, depth int) (Object, error) {
	if depth > maxWriteDepth {
		return nil, errTooDeep
	}
	switch o.(type) {
	case Array, Dict:
		if ask && c.Replace != nil {
			if other, ok := c.Replace(Ref{}, o); ok {
				o = other
			}
		}
	}
	switch v := o.(type) {
	case Placed:
		return Ref(v), nil
	case Ref:
		return c.reference(key, v)
	case Array:
		out := make(Array, len(v))
		for i, e := range v {
			key := Name("")
			if i == 0 && isDestination(v) {
				key = "Dest"
			}
			t, err := c.translateAt(key, e, true, depth+1)
			if err != nil {
				return nil, err
			}
			out[i] = t
		}
		return out, nil
	case Dict:
		out := make(Dict, len(v))
		for _, key := range v.Keys() {
			if c.drops(key, v[key]) {
				continue
			}
			t, err := c.translateAt(key, v[key], true, depth+1)
			if err != nil {
				return nil, err
			}
			if t != nil {
				out[key] = t
			}
		}
		return out, nil
	case *Stream:
		ref := c.w.Alloc()
		return ref, c.stream(ref, v)
	}
	return o, nil
}

// drops reports whether an entry leads away from the content. A resource may
// have the name of such a key, so the value counts too.
func (c *Copier) drops(key Name, value Object) bool {
	switch key {
	case "StructParent", "StructParents":
		_, isNumber := value.(Integer)
		return isNumber
	case "Parent":
		o, err := c.doc.Resolve(value)
		parent, ok := o.(Dict)
		return err == nil && ok && (parent["Kids"] != nil || parent["K"] != nil)
	}
	return false
}

// reference returns the new reference of an object and queues it if it is
// new. References to nothing and to pages become null.
func (c *Copier) reference(key Name, source Ref) (Object, error) {
	if target := c.placed.get(source); !target.IsZero() {
		return target, nil
	}
	if !c.doc.objects.exists(source) {
		return nil, nil
	}
	if c.base != nil && !c.fresh(source) {
		return c.base.reference(key, source)
	}
	switch key {
	case "P", "Pg", "Page", "Parent", "D", "Dest":
		// Looking at every object here, before its turn, would read each
		// twice; these keys lead to pages.
		o, err := c.doc.objects.get(source)
		if err != nil {
			return nil, err
		}
		if o == nil || c.isPage(o) {
			return nil, nil
		}
	}
	target := c.w.Alloc()
	c.placed.set(source, target)
	c.queue = append(c.queue, source)
	return target, nil
}

// isDestination reports whether an array may be an explicit destination
// (12.3.2.2): a page and how to show it.
func isDestination(a Array) bool {
	if len(a) < 2 {
		return false
	}
	_, named := a[1].(Name)
	return named
}

// isPage reports whether o is a page or a node of the page tree.
func (c *Copier) isPage(o Object) bool {
	d, ok := o.(Dict)
	if !ok {
		return false
	}
	switch c.doc.Name(d["Type"]) {
	case "Page":
		return true
	case "Pages":
		return d["Kids"] != nil
	}
	return false
}

// refMap maps references of the source to references of the copy. Numbers
// are dense and generations nearly always 0, so arrays take less than a map.
type refMap struct {
	pages map[int]*[tablePage]int32
	other map[Ref]Ref
}

func (m *refMap) get(source Ref) Ref {
	if source.Gen != 0 {
		return m.other[source]
	}
	if p := m.pages[source.Num/tablePage]; p != nil {
		return Ref{Num: int(p[source.Num%tablePage])}
	}
	return Ref{}
}

func (m *refMap) set(source, target Ref) {
	if source.Gen != 0 {
		if m.other == nil {
			m.other = map[Ref]Ref{}
		}
		m.other[source] = target
		return
	}
	if m.pages == nil {
		m.pages = map[int]*[tablePage]int32{}
	}
	p := m.pages[source.Num/tablePage]
	if p == nil {
		p = new([tablePage]int32)
		m.pages[source.Num/tablePage] = p
	}
	p[source.Num%tablePage] = int32(target.Num)
}
