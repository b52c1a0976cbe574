package verify

import (
	"bytes"
	"fmt"
	"io"
	"slices"

	"quoin/impose/pdfobj"
)

// comparison walks an artwork and its copy side by side, each pair of objects
// once, and finds every value and every stored byte that differs. All that a
// copy may leave out or change is written here, once more and apart from the
// code that copies:
//
//   - references to pages and to nodes of the page tree become null;
//   - what has no resources of its own uses those of the stream that uses it, or
//     of its page, and may name them;
//   - an annotation's picture is a form, and may say so;
//   - a membership of layers has no effect in a document without layers, and
//     names none;
//   - Parent entries of form fields and structure elements, and the numbers
//     that tie content to a structure tree, stay behind;
//   - a Separation or DeviceN space names the inks that the plan says;
//   - in the place of a tiling pattern may stand one that shows all its cells.
type comparison struct {
	result   *Result
	src, out *pdfobj.Document
	renames  map[pdfobj.Name]pdfobj.Name
	shared   map[pdfobj.Name]sharedSpace
	name     string // of the artwork
	limit    int    // give up after so many differences; 0: never
	found    int
	known    map[[2]pdfobj.Ref]bool // proved before
	seen     map[[2]pdfobj.Ref]bool
	page     pdfobj.Object // the resources of the artwork's page
	trial    bool          // only to tell lenders apart: what is lent further on is not looked at
	users    users         // who names what, in its resources
	queue    []pair
	groups   map[pdfobj.Ref]pdfobj.Ref // layers of the file by those of the artwork

	wrappedList []wrapped
}

// sharedSpace is the colour space that all artworks must have for one ink: one
// of those that its artwork has.
type sharedSpace struct {
	doc    *pdfobj.Document
	spaces []pdfobj.Array
	name   string // of the artwork
}

// pair is two objects that must be the same.
type pair struct {
	src, out pdfobj.Object
	doc      *pdfobj.Document // of src
	path     *step
	of       pdfobj.Ref // the object that src is; zero for a direct one
}

// step is the way to an object, for people.
type step struct {
	before *step
	key    string
	object int // number in the file; 0 for a direct object
}

// maxNesting bounds direct objects in direct objects.
const maxNesting = 512

func (c *comparison) differs(at *step, code, format string, args ...any) {
	c.found++
	if c.limit > 0 && c.found > c.limit {
		return
	}
	object := ""
	for s := at; s != nil; s = s.before {
		if s.object > 0 {
			object = fmt.Sprintf("object %d", s.object)
			break
		}
	}
	c.result.differs(code, object, "%s: %s: %s", c.name, at.text(), fmt.Sprintf(format, args...))
}

// text gives the way, shortened in its middle.
func (s *step) text() string {
	var keys []string
	for ; s != nil; s = s.before {
		keys = append(keys, s.key)
	}
	slices.Reverse(keys)
	if n := len(keys); n > 9 {
		keys = slices.Concat(keys[:4], []string{"..."}, keys[n-4:])
	}
	text := ""
	for i, k := range keys {
		if i > 0 && k != "" && k[0] != '[' {
			text += "/"
		}
		text += k
	}
	return text
}

func (c *comparison) done() bool { return c.limit > 0 && c.found > c.limit }

// same compares two objects and all that they reach.
func (c *comparison) same(key string, src, out pdfobj.Object) {
	c.queue = append(c.queue, pair{src: src, out: out, doc: c.src, path: &step{key: key}})
	c.drain()
}

// drain compares all that waits.
func (c *comparison) drain() {
	for len(c.queue) > 0 && !c.done() {
		p := c.queue[len(c.queue)-1]
		c.queue = c.queue[:len(c.queue)-1]
		c.compare(p, 0)
	}
}

// compare looks at one pair. References wait in the queue, so that the depth is
// that of direct objects.
func (c *comparison) compare(p pair, depth int) {
	if depth > maxNesting || c.done() {
		return
	}
	a, isA := p.src.(pdfobj.Ref)
	b, isB := p.out.(pdfobj.Ref)
	if isA && isB && p.doc == c.src {
		if c.seen[[2]pdfobj.Ref{a, b}] || c.known[[2]pdfobj.Ref{a, b}] {
			return
		}
		c.seen[[2]pdfobj.Ref{a, b}] = true
	}
	if isB {
		p.path = &step{p.path.before, p.path.key, b.Num}
	}
	src, err := p.doc.Resolve(p.src)
	if err == nil && isPage(p.doc, src) {
		src = nil
	}
	out, errOut := c.out.Resolve(p.out)
	if err != nil || errOut != nil {
		c.differs(p.path, ObjectValue, "can't be read")
		return
	}
	if _, ok := src.(pdfobj.Dict); ok && isA && isB && isLayer(p.doc, a) {
		c.groups[a] = b
	}
	p.of, _ = p.src.(pdfobj.Ref)
	if c.unlayered(p.doc, src) {
		src = pdfobj.Dict{"Type": pdfobj.Name("OCMD")}
	}
	c.values(p, src, out, depth)
}

func (c *comparison) values(p pair, src, out pdfobj.Object, depth int) {
	switch v := src.(type) {
	case pdfobj.Dict:
		if w, ok := out.(pdfobj.Dict); ok {
			c.dicts(p, v, w, depth)
			return
		}
	case pdfobj.Array:
		if w, ok := out.(pdfobj.Array); ok {
			c.arrays(p, v, w, depth)
			return
		}
	case *pdfobj.Stream:
		if w, ok := out.(*pdfobj.Stream); ok {
			c.streams(p, v, w, depth)
			return
		}
	default:
		x, isX := number(src)
		y, isY := number(out)
		if src == out || isX && isY && x == y { // 1.0 may stand as 1
			return
		}
	}
	c.differs(p.path, ObjectValue, "%s, where the artwork has %s", shown(out), shown(src))
}

func number(o pdfobj.Object) (float64, bool) {
	switch v := o.(type) {
	case pdfobj.Integer:
		return float64(v), true
	case pdfobj.Real:
		return float64(v), true
	}
	return 0, false
}

// isPage reports whether an object is a page or a node of the page tree.
func isPage(doc *pdfobj.Document, o pdfobj.Object) bool {
	d, ok := o.(pdfobj.Dict)
	if !ok {
		return false
	}
	kind := doc.Name(d["Type"])
	return kind == "Page" || kind == "Pages" && d["Kids"] != nil
}

func (c *comparison) dicts(p pair, src, out pdfobj.Dict, depth int) {
	for _, key := range src.Keys() {
		if key == "Subtype" && src["BBox"] != nil && out[key] == pdfobj.Object(pdfobj.Name("Form")) {
			continue // a form, whatever it says that it is
		}
		if !leftBehind(p.doc, key, src[key]) {
			c.entry(p, key, src[key], out[key], depth)
		}
	}
	for _, key := range out.Keys() {
		if src[key] == nil || leftBehind(p.doc, key, src[key]) {
			if key == "Resources" && borrows(p.doc, src) {
				if c.trial {
					continue
				}
				c.next(pair{src: c.lender(p, out[key]), out: out[key], doc: p.doc, path: &step{p.path, "the resources around it", 0}}, depth)
				continue
			}
			if key == "Subtype" && out[key] == pdfobj.Object(pdfobj.Name("Form")) && src["BBox"] != nil {
				continue
			}
			if v, _ := c.out.Resolve(out[key]); v != nil {
				c.differs(&step{p.path, "/" + string(key), 0}, ObjectAdded, "%s, which the artwork doesn't have", shown(v))
			}
		}
	}
}

// borrows reports whether a dictionary is of something that finds its resources
// on the page where it is used: a Type 3 font (9.6.5), a form or a tiling
// pattern without any (7.8.3).
func borrows(doc *pdfobj.Document, d pdfobj.Dict) bool {
	tiling, _ := doc.Int(d["PatternType"])
	kind := doc.Name(d["Subtype"])
	return kind == "Type3" || kind == "Form" || tiling == 1 || d["BBox"] != nil // a form that doesn't say so
}

// entry compares the values of one key.
func (c *comparison) entry(p pair, key pdfobj.Name, src, out pdfobj.Object, depth int) {
	at := &step{p.path, string(key), 0}
	if out == nil {
		v, _ := p.doc.Resolve(src)
		if v != nil && !isPage(p.doc, v) {
			c.differs(at, ObjectLost, "missing; the artwork has %s", shown(v))
		}
		return
	}
	c.next(pair{src: src, out: out, doc: p.doc, path: at}, depth)
}

// next compares direct objects at once and lets others wait.
func (c *comparison) next(p pair, depth int) {
	_, isA := p.src.(pdfobj.Ref)
	_, isB := p.out.(pdfobj.Ref)
	if isA || isB {
		c.queue = append(c.queue, p)
		return
	}
	c.compare(p, depth+1)
}

// leftBehind reports whether a copy has no use for an entry.
func leftBehind(doc *pdfobj.Document, key pdfobj.Name, value pdfobj.Object) bool {
	switch key {
	case "StructParent", "StructParents":
		_, isNumber := value.(pdfobj.Integer)
		return isNumber
	case "Parent":
		o, _ := doc.Resolve(value)
		d, ok := o.(pdfobj.Dict)
		return ok && (d["Kids"] != nil || d["K"] != nil)
	}
	return false
}

func (c *comparison) arrays(p pair, src, out pdfobj.Array, depth int) {
	if len(src) != len(out) {
		c.differs(p.path, ObjectValue, "%d elements, not %d", len(out), len(src))
		return
	}
	if len(src) >= 4 && c.inks(p, src, out, depth) {
		return
	}
	for i := range src {
		c.next(pair{src: src[i], out: out[i], doc: p.doc, path: &step{p.path, fmt.Sprintf("[%d]", i), 0}}, depth)
	}
}

// streams compares dictionaries and stored bytes.
func (c *comparison) streams(p pair, src, out *pdfobj.Stream, depth int) {
	if c.wraps(p, src, out, depth) {
		return
	}
	without := func(d pdfobj.Dict) pdfobj.Dict {
		d = d.Clone()
		delete(d, "Length") // RawLength knows better
		return d
	}
	c.dicts(p, without(src.Dict), without(out.Dict), depth)
	c.bytes(p.path, src, out)
}

// bytes compares the stored bytes of two streams.
func (c *comparison) bytes(at *step, src, out *pdfobj.Stream) {
	a, err := src.Raw()
	if err == nil {
		var b io.Reader
		if b, err = out.Raw(); err == nil {
			c.readers(at, a, b)
			return
		}
	}
	c.differs(at, StreamBytes, "can't be read: %v", err)
}

// readers compares two runs of bytes.
func (c *comparison) readers(at *step, a, b io.Reader) {
	n, same, err := equal(a, b)
	c.result.Streams++
	c.result.Bytes += n
	switch {
	case err != nil:
		c.differs(at, StreamBytes, "can't be read: %v", err)
	case !same:
		c.differs(at, StreamBytes, "its data differs from the artwork's, from byte %d on", n)
	}
}

// equal reports whether two readers give the same bytes, and how many they have
// in common.
func equal(a, b io.Reader) (n int64, same bool, err error) {
	x, y := make([]byte, 64<<10), make([]byte, 64<<10)
	for {
		i, errA := io.ReadFull(a, x)
		j, errB := io.ReadFull(b, y)
		if !bytes.Equal(x[:i], y[:j]) {
			k := 0
			for k < min(i, j) && x[k] == y[k] {
				k++
			}
			return n + int64(k), false, nil
		}
		n += int64(i)
		endA, endB := ended(errA), ended(errB)
		switch {
		case endA && endB:
			return n, true, nil
		case errA != nil && !endA:
			return n, false, errA
		case errB != nil && !endB:
			return n, false, errB
		}
	}
}

func ended(err error) bool { return err == io.EOF || err == io.ErrUnexpectedEOF }

// shown gives a short form of an object for people.
func shown(o pdfobj.Object) string {
	switch v := o.(type) {
	case nil:
		return "nothing"
	case *pdfobj.Stream:
		return fmt.Sprintf("a stream of %d bytes", v.RawLength())
	case pdfobj.Dict:
		return fmt.Sprintf("a dictionary of %d entries", len(v))
	}
	text, err := pdfobj.AppendObject(nil, o)
	if err != nil {
		return fmt.Sprintf("a %T", o)
	}
	if len(text) > 60 {
		text = append(text[:57:57], "..."...)
	}
	return string(text)
}
