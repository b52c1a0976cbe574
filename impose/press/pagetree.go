package press

import "quoin/impose/pdfobj"

// fanout is how many pages a node of the page tree holds. Each page must name
// its parent when it is written, so nodes are begun before their pages.
const fanout = 256

// pageTree grows with the pages, two levels deep: enough for readers, which
// find any page in a few steps, and simple enough to stream.
type pageTree struct {
	out   *pdfobj.Writer
	root  pdfobj.Ref
	nodes []node
	pages int
}

type node struct {
	ref  pdfobj.Ref
	kids pdfobj.Array
}

func newPageTree(out *pdfobj.Writer) *pageTree { return &pageTree{out: out, root: out.Alloc()} }

// add writes the next page.
func (t *pageTree) add(page pdfobj.Dict) error {
	if n := len(t.nodes); n == 0 || len(t.nodes[n-1].kids) == fanout {
		if err := t.closeLast(); err != nil {
			return err
		}
		t.nodes = append(t.nodes, node{ref: t.out.Alloc()})
	}
	last := &t.nodes[len(t.nodes)-1]
	page["Parent"] = last.ref
	ref := t.out.Alloc()
	if err := t.out.Put(ref, page); err != nil {
		return err
	}
	last.kids = append(last.kids, ref)
	t.pages++
	return nil
}

// closeLast writes the node that is full and forgets its kids.
func (t *pageTree) closeLast() error {
	if len(t.nodes) == 0 {
		return nil
	}
	last := &t.nodes[len(t.nodes)-1]
	err := t.out.Put(last.ref, pdfobj.Dict{
		"Type": pdfobj.Name("Pages"), "Parent": t.root,
		"Kids": last.kids, "Count": pdfobj.Integer(len(last.kids)),
	})
	last.kids = nil
	return err
}

// close writes what is open of the tree and gives its root.
func (t *pageTree) close() (pdfobj.Ref, error) {
	if err := t.closeLast(); err != nil {
		return t.root, err
	}
	kids := make(pdfobj.Array, len(t.nodes))
	for i, n := range t.nodes {
		kids[i] = n.ref
	}
	return t.root, t.out.Put(t.root, pdfobj.Dict{
		"Type": pdfobj.Name("Pages"), "Kids": kids, "Count": pdfobj.Integer(t.pages),
	})
}
