package verify

import (
	"slices"

	"quoin/impose/pdfobj"
)

// layerOn reports whether a layer is on in the document's own configuration
// (ISO 32000-1 8.11.4.3). One that the document doesn't list can't be off.
func layerOn(doc *pdfobj.Document, ref pdfobj.Ref) bool {
	if !slices.Contains(doc.Array(doc.Dict(doc.Catalog()["OCProperties"])["OCGs"]), pdfobj.Object(ref)) {
		return true
	}
	config := doc.Dict(doc.Dict(doc.Catalog()["OCProperties"])["D"])
	on := doc.Name(config["BaseState"]) != "OFF"
	if slices.Contains(doc.Array(config["ON"]), pdfobj.Object(ref)) {
		on = true
	}
	if slices.Contains(doc.Array(config["OFF"]), pdfobj.Object(ref)) {
		on = false
	}
	return on
}

// isLayer reports whether an object is a layer: by its own word, or because the
// document lists it as one, which is what readers go by.
func isLayer(doc *pdfobj.Document, ref pdfobj.Ref) bool {
	d := doc.Dict(ref)
	return doc.Name(d["Type"]) == "OCG" || d != nil && slices.Contains(doc.Array(doc.Dict(doc.Catalog()["OCProperties"])["OCGs"]), pdfobj.Object(ref))
}

// layerCheck proves the layers of the file.
type layerCheck struct {
	*Result
	plan     *Expected
	doc      *pdfobj.Document
	artworks []*source
	forms    *forms
}

// all proves that the file has the layers of the plan, no more and no less,
// in the state of the plan and of the artworks themselves.
func (c *layerCheck) all() {
	properties := c.doc.Dict(c.doc.Catalog()["OCProperties"])
	config := c.doc.Dict(properties["D"])
	var left []pdfobj.Ref
	for _, o := range c.doc.Array(properties["OCGs"]) {
		if ref, ok := o.(pdfobj.Ref); ok {
			left = append(left, ref)
		}
	}
	ordered := map[pdfobj.Ref]bool{}
	c.order(config["Order"], ordered, 0)
	for _, ref := range left {
		if !ordered[ref] {
			c.differs(LayerOrder, objectName(ref), "the layer %q stands in no list that people see", c.nameOf(ref))
		}
	}
	if config["AS"] != nil {
		c.differs(LayerState, "", "layers change their state by themselves (AS)")
	}
	if c.doc.Array(properties["Configs"]) != nil {
		c.differs(LayerState, "", "there is a second set of layer states (Configs)")
	}
	for _, l := range c.plan.Written.Layers {
		i := slices.IndexFunc(left, func(ref pdfobj.Ref) bool {
			return c.nameOf(ref) == l.Name && c.belongs(ref, l.Artwork)
		})
		if i < 0 {
			c.differs(LayerLost, "", "the layer %q of %s is missing", l.Name, c.artworkName(l.Artwork))
			continue
		}
		ref := left[i]
		left = slices.Delete(left, i, i+1)
		on := layerOn(c.doc, ref)
		if on != l.On {
			c.differs(LayerState, objectName(ref), "the layer %q of %s is %s, not %s", l.Name, c.artworkName(l.Artwork), onOff(on), onOff(l.On))
		}
		if l.Artwork > 0 {
			if own, known := c.ownState(ref, l.Artwork); known && own != on {
				c.differs(LayerState, objectName(ref), "the layer %q is %s, and %s in %s itself", l.Name, onOff(on), onOff(own), c.artworkName(l.Artwork))
			}
		}
	}
	for _, ref := range left {
		c.differs(LayerExtra, objectName(ref), "the layer %q is not planned", c.nameOf(ref))
	}
}

func onOff(on bool) string {
	if on {
		return "on"
	}
	return "off"
}

// order gathers the layers that a nested list names.
func (c *layerCheck) order(o pdfobj.Object, found map[pdfobj.Ref]bool, depth int) {
	if depth > 32 {
		return
	}
	for _, e := range c.doc.Array(o) {
		ref, ok := e.(pdfobj.Ref)
		if ok && isLayer(c.doc, ref) {
			found[ref] = true
			continue
		}
		c.order(e, found, depth+1)
	}
}

// belongs reports whether a layer of the file is one of the artwork's; of none
// for number 0.
func (c *layerCheck) belongs(ref pdfobj.Ref, artwork int) bool {
	for doc, groups := range c.forms.groups {
		for _, copied := range groups {
			if copied == ref {
				return artwork > 0 && artwork <= len(c.artworks) && c.artworks[artwork-1].doc == doc
			}
		}
	}
	return artwork == 0
}

// ownState reports whether the layer is on in the artwork that it comes from.
func (c *layerCheck) ownState(ref pdfobj.Ref, artwork int) (on, known bool) {
	doc := c.artworks[artwork-1].doc
	for source, copied := range c.forms.groups[doc] {
		if copied == ref {
			return layerOn(doc, source), true
		}
	}
	return false, false
}

func (c *layerCheck) nameOf(ref pdfobj.Ref) string {
	return pdfobj.Text(c.doc, c.doc.Dict(ref)["Name"])
}

func (c *layerCheck) artworkName(number int) string {
	if number < 1 || number > len(c.artworks) {
		return "the frame"
	}
	return c.artworks[number-1].name()
}

func objectName(ref pdfobj.Ref) string { return "object " + shown(pdfobj.Integer(ref.Num)) }
