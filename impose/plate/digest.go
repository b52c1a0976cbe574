package plate

import (
	"crypto/sha256"
	"fmt"
	"io"

	"quoin/impose/pdfobj"
)

// digests tell objects of a document apart by what they hold: two forms that are
// written as two objects, but are the same down to the last stream, have one digest.
type digests struct {
	doc  *pdfobj.Document
	done map[pdfobj.Ref]string
	open map[pdfobj.Ref]int // those around what is being looked at, by their depth
}

func newDigests(doc *pdfobj.Document) *digests {
	return &digests{doc, map[pdfobj.Ref]string{}, map[pdfobj.Ref]int{}}
}

// of returns the digest of an object. What can't be read is like nothing but itself.
func (d *digests) of(o pdfobj.Object) string {
	ref, isRef := o.(pdfobj.Ref)
	if !isRef {
		return d.direct(o)
	}
	if known := d.done[ref]; known != "" {
		return known
	}
	depth := len(d.open)
	if around, is := d.open[ref]; is {
		return fmt.Sprint("the one that is ", depth-around, " further out")
	}
	itself := fmt.Sprint("object ", ref)
	v, err := d.doc.Resolve(ref)
	if err != nil || depth > maxNesting || d.doc.Name(d.doc.Dict(v)["Type"]) == "OCG" { // layers are on or off by their names
		return itself
	}
	d.open[ref] = depth
	sum := d.direct(v)
	delete(d.open, ref)
	d.done[ref] = sum
	return sum
}

func (d *digests) direct(o pdfobj.Object) string {
	h := sha256.New()
	switch v := o.(type) {
	case pdfobj.Array:
		fmt.Fprint(h, "array ", len(v))
		for _, e := range v {
			fmt.Fprintf(h, " %q", d.of(e))
		}
	case pdfobj.Dict:
		d.dict(h, v)
	case *pdfobj.Stream:
		d.dict(h, v.Dict)
		raw, err := v.Raw()
		if err == nil {
			_, err = io.Copy(h, raw)
		}
		if err != nil {
			return fmt.Sprint("stream ", v.Ref)
		}
	default:
		text, err := pdfobj.AppendObject(nil, o)
		if err != nil {
			return fmt.Sprintf("%T that can't be written: %v", o, err)
		}
		h.Write(text)
	}
	return string(h.Sum(nil))
}

func (d *digests) dict(to io.Writer, v pdfobj.Dict) {
	fmt.Fprint(to, "dictionary ")
	for _, key := range v.Keys() {
		switch key {
		case "Length", "Parent", "StructParent", "StructParents", "PieceInfo", "LastModified", "Metadata":
			continue // nothing of it is seen
		}
		fmt.Fprintf(to, "%q %q ", key, d.of(v[key]))
	}
}
