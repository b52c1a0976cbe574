package pdfobj

import "fmt"

// Page is a page with the attributes that it inherits.
type Page struct {
	// Ref is the page's reference, zero if the page is a direct object.
	Ref Ref
	// Dict is a copy of the page's dictionary with inherited Resources,
	// MediaBox, CropBox and Rotate (Table 30) filled in.
	Dict Dict
}

var inheritable = []Name{"Resources", "MediaBox", "CropBox", "Rotate"}

// pageWalk walks the page tree (7.7.3) depth first, only as far as somebody
// has asked.
type pageWalk struct {
	doc     *Document
	begun   bool       // the first page is found
	stack   []pageNode // what is still to be visited, next one last
	visited map[Ref]bool
	pages   []pageNode
}

type pageNode struct {
	object    Object
	inherited Dict
	depth     int
}

// PageCount returns the number of pages, which it counts: /Count is not
// trusted.
func (d *Document) PageCount() (int, error) {
	w := &d.walk
	if err := w.begin(); err != nil {
		return 0, err
	}
	for len(w.stack) > 0 {
		if err := w.step(); err != nil {
			return 0, err
		}
	}
	return len(w.pages), nil
}

// Page returns page i, counted from 0. It fails with ErrNoPage if there are
// not that many.
func (d *Document) Page(i int) (*Page, error) {
	w := &d.walk
	if err := w.begin(); err != nil {
		return nil, err
	}
	for i >= len(w.pages) && len(w.stack) > 0 {
		if err := w.step(); err != nil {
			return nil, err
		}
	}
	if i < 0 || i >= len(w.pages) {
		return nil, fmt.Errorf("%w: page %d of %d", ErrNoPage, i+1, len(w.pages))
	}
	leaf := w.pages[i]
	o, err := d.Resolve(leaf.object)
	if err != nil {
		return nil, err
	}
	page, _ := o.(Dict)
	page = page.Clone()
	// The way down the tree counts; a page that stands where a node should
	// still has its parents.
	for _, from := range []Dict{leaf.inherited, w.inherit(page)} {
		for _, key := range inheritable {
			if v := from[key]; v != nil && page[key] == nil {
				page[key] = v
			}
		}
	}
	if d.err != nil {
		return nil, d.err
	}
	ref, _ := leaf.object.(Ref)
	return &Page{ref, page}, nil
}

// begin finds the first page, in the tree or, if that leads to none, among all
// objects.
func (w *pageWalk) begin() error {
	if w.begun {
		return nil
	}
	*w = pageWalk{doc: w.doc, visited: map[Ref]bool{}}
	if root := w.doc.Catalog()["Pages"]; root != nil {
		w.stack = []pageNode{{object: root}}
	}
	for len(w.stack) > 0 && len(w.pages) == 0 {
		if err := w.step(); err != nil {
			return err
		}
	}
	if len(w.pages) == 0 {
		if err := w.scan(); err != nil {
			return err
		}
	}
	w.begun = w.doc.err == nil
	return w.doc.err
}

// step visits one node.
func (w *pageWalk) step() error {
	d := w.doc
	node := w.stack[len(w.stack)-1]
	w.stack = w.stack[:len(w.stack)-1]
	ref, isRef := node.object.(Ref)
	o, err := d.Resolve(node.object)
	if err != nil {
		return err
	}
	dict, ok := o.(Dict)
	if !ok {
		d.damage.noteTree("the page tree has an entry that is no page")
		return nil
	}
	kids, isNode := w.kids(dict)
	if !isNode && d.Name(dict["Type"]) == "Pages" && dict["Contents"] == nil {
		return nil // a node that has no pages
	}
	if !isNode {
		return w.add(node)
	}
	if isRef {
		if w.visited[ref] {
			d.damage.noteTree("object %d: the page tree has a loop", ref.Num)
			return nil
		}
		w.visited[ref] = true
	}
	if node.depth >= d.file.opt.MaxDepth {
		d.damage.noteTree("the page tree is more than %d levels deep", d.file.opt.MaxDepth)
		return nil
	}
	if len(w.stack)+len(kids) > d.file.opt.MaxPages {
		return fmt.Errorf("%w: more than %d pages", ErrBudget, d.file.opt.MaxPages)
	}
	inherited := node.inherited.Clone()
	for _, key := range inheritable {
		if v := dict[key]; v != nil {
			inherited[key] = v
		}
	}
	for i := len(kids) - 1; i >= 0; i-- {
		w.stack = append(w.stack, pageNode{kids[i], inherited, node.depth + 1})
	}
	return nil
}

// kids returns the children of a node of the page tree. A single one may stand
// without an array; whatever else is no node.
func (w *pageWalk) kids(dict Dict) (kids Array, isNode bool) {
	switch v := w.doc.value(dict["Kids"]).(type) {
	case Array:
		return v, len(v) > 0 || w.doc.Name(dict["Type"]) != "Page"
	case Dict:
		return Array{dict["Kids"]}, true
	}
	return nil, false
}

func (w *pageWalk) add(leaf pageNode) error {
	if len(w.pages) >= w.doc.file.opt.MaxPages {
		return fmt.Errorf("%w: more than %d pages", ErrBudget, w.doc.file.opt.MaxPages)
	}
	w.pages = append(w.pages, leaf)
	return nil
}

// scan takes every object that says it is a page, in the order of their
// numbers, when the page tree leads to none.
func (w *pageWalk) scan() error {
	d := w.doc
	if err := d.mender.fill(); err != nil {
		return err
	}
	for num, e := range d.objects.table.numbers {
		if e.kind == entryFree {
			continue
		}
		r := Ref{num, int(e.gen)}
		o, err := d.objects.get(r)
		if err != nil {
			return err
		}
		dict, ok := o.(Dict)
		if !ok || d.Name(dict["Type"]) != "Page" {
			continue
		}
		if err := w.add(pageNode{object: r, inherited: w.inherit(dict)}); err != nil {
			return err
		}
	}
	if len(w.pages) > 0 {
		d.damage.noteTree("the page tree is damaged; %d pages were found without it", len(w.pages))
	}
	return nil
}

// inherit returns what a page inherits from its parents, as it names them.
func (w *pageWalk) inherit(dict Dict) Dict {
	inherited := Dict{}
	for range w.doc.file.opt.MaxDepth {
		for _, key := range inheritable {
			if v := dict[key]; v != nil && inherited[key] == nil {
				inherited[key] = v
			}
		}
		if dict = w.doc.Dict(dict["Parent"]); dict == nil {
			break
		}
	}
	return inherited
}
