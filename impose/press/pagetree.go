package press

import "quoin/impose/pdfobj"

// fanout is how many kids a node of a tree has at most. Each page must name its
// parent when it is written, so the lowest nodes are begun before their pages.
const fanout = 256

// pageTree grows with the pages: its lowest nodes are written as they fill, those
// above them at the end, as many levels as it takes to have no more than fanout
// kids in any. Of a page, memory keeps the reference for as long as its node is
// open; of a node, for good.
type pageTree struct {
	out   *pdfobj.Writer
	nodes []treeNode // of the lowest level
	kids  pdfobj.Array
	pages int
}

// treeNode is a node whose parent is known before its own kids are.
type treeNode struct{ ref, parent pdfobj.Ref }

func newPageTree(out *pdfobj.Writer) *pageTree { return &pageTree{out: out} }

// add writes the next page and gives its reference.
func (t *pageTree) add(page pdfobj.Dict) (pdfobj.Ref, error) {
	if len(t.nodes) == 0 || len(t.kids) == fanout {
		if err := t.closeLast(); err != nil {
			return pdfobj.Ref{}, err
		}
		n := treeNode{ref: t.out.Alloc()}
		if len(t.nodes)%fanout == 0 {
			n.parent = t.out.Alloc()
		} else {
			n.parent = t.nodes[len(t.nodes)-1].parent
		}
		t.nodes = append(t.nodes, n)
	}
	page["Parent"] = t.nodes[len(t.nodes)-1].ref
	ref := t.out.Alloc()
	t.kids = append(t.kids, ref)
	t.pages++
	return ref, t.out.Put(ref, page)
}

// closeLast writes the node that is open and forgets its kids.
func (t *pageTree) closeLast() error {
	if len(t.nodes) == 0 {
		return nil
	}
	last := t.nodes[len(t.nodes)-1]
	err := t.out.Put(last.ref, pdfobj.Dict{
		"Type": pdfobj.Name("Pages"), "Parent": last.parent, "Kids": t.kids, "Count": pdfobj.Integer(len(t.kids)),
	})
	t.kids = nil
	return err
}

// close writes what is open of the tree and gives its root.
func (t *pageTree) close() (pdfobj.Ref, error) {
	if err := t.closeLast(); err != nil {
		return pdfobj.Ref{}, err
	}
	level := t.nodes
	counts := make([]int, len(level)) // pages beneath each
	for i := range counts {
		counts[i] = min(fanout, t.pages-i*fanout)
	}
	for {
		var above []treeNode
		var sums []int
		for i := 0; i < len(level); i += fanout {
			n := treeNode{ref: level[i].parent}
			if len(level) > fanout {
				n.parent = t.aboveOf(above)
			}
			var kids pdfobj.Array
			sum := 0
			for j := i; j < min(i+fanout, len(level)); j++ {
				kids = append(kids, level[j].ref)
				sum += counts[j]
			}
			dict := pdfobj.Dict{"Type": pdfobj.Name("Pages"), "Kids": kids, "Count": pdfobj.Integer(sum)}
			if !n.parent.IsZero() {
				dict["Parent"] = n.parent
			}
			if err := t.out.Put(n.ref, dict); err != nil {
				return n.ref, err
			}
			above, sums = append(above, n), append(sums, sum)
		}
		if len(above) == 1 {
			return above[0].ref, nil
		}
		level, counts = above, sums
	}
}

// aboveOf returns the parent of the next node of a level.
func (t *pageTree) aboveOf(level []treeNode) pdfobj.Ref {
	if len(level)%fanout == 0 {
		return t.out.Alloc()
	}
	return level[len(level)-1].parent
}
