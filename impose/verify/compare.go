package verify

import (
	"fmt"

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

// maxNesting bounds direct objects in direct objects.
const maxNesting = 512

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
