package press

import "quoin/impose/pdfobj"

// documentParts say what each page of a series holds, so that a RIP or a press can
// find the page of a record (ISO 32000-2 14.12): a leaf for each page, and above
// them nodes of no more than fanout kids.
type documentParts struct {
	out   *pdfobj.Writer
	pages []pdfobj.Ref  // of the node that is open
	metas []pdfobj.Dict // of those
	own   []pdfobj.Ref  // the leaves
	nodes []treeNode
}

// begin returns the leaf that the next page names as its part.
func (d *documentParts) begin() (pdfobj.Ref, error) {
	if len(d.nodes) == 0 || len(d.own) == fanout {
		if err := d.closeLast(); err != nil {
			return pdfobj.Ref{}, err
		}
		n := treeNode{ref: d.out.Alloc()}
		if len(d.nodes) == 0 {
			n.parent = d.out.Alloc()
		} else {
			n.parent = d.nodes[0].parent
		}
		d.nodes = append(d.nodes, n)
	}
	leaf := d.out.Alloc()
	d.own = append(d.own, leaf)
	return leaf, nil
}

// end says which page the leaf is of, and what there is to know of it.
func (d *documentParts) end(page pdfobj.Ref, about pdfobj.Dict) {
	d.pages, d.metas = append(d.pages, page), append(d.metas, about)
}

// closeLast writes the node that is open, with its leaves.
func (d *documentParts) closeLast() error {
	if len(d.nodes) == 0 {
		return nil
	}
	last := d.nodes[len(d.nodes)-1]
	var kids pdfobj.Array
	for i, leaf := range d.own {
		dict := pdfobj.Dict{"Type": pdfobj.Name("DPart"), "Parent": last.ref, "Start": d.pages[i]}
		if len(d.metas[i]) > 0 {
			dict["DPM"] = d.metas[i]
		}
		if err := d.out.Put(leaf, dict); err != nil {
			return err
		}
		kids = append(kids, leaf)
	}
	d.own, d.pages, d.metas = nil, nil, nil
	return d.out.Put(last.ref, pdfobj.Dict{"Type": pdfobj.Name("DPart"), "Parent": last.parent, "DParts": pdfobj.Array{kids}})
}

// close writes the root of the parts and gives what the catalog names; nil where
// there are none.
func (d *documentParts) close() (pdfobj.Object, error) {
	if len(d.nodes) == 0 {
		return nil, nil
	}
	if err := d.closeLast(); err != nil {
		return nil, err
	}
	root, top := d.out.Alloc(), d.nodes[0].parent
	var groups pdfobj.Array // arrays of kids, none longer than a node's
	for i := 0; i < len(d.nodes); i += fanout {
		var kids pdfobj.Array
		for _, n := range d.nodes[i:min(i+fanout, len(d.nodes))] {
			kids = append(kids, n.ref)
		}
		groups = append(groups, kids)
	}
	if err := d.out.Put(top, pdfobj.Dict{"Type": pdfobj.Name("DPart"), "Parent": root, "DParts": groups}); err != nil {
		return nil, err
	}
	const record = 2 // levels from the top of the parts that are pages
	return root, d.out.Put(root, pdfobj.Dict{
		"Type": pdfobj.Name("DPartRoot"), "DPartRootNode": top, "RecordLevel": pdfobj.Integer(record),
		"NodeNameList": pdfobj.Array{pdfobj.Name("Run"), pdfobj.Name("Section"), pdfobj.Name("Frame")},
	})
}
