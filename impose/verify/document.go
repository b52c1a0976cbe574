package verify

import (
	"crypto/sha256"
	"encoding/hex"
	"io"

	"quoin/impose/pdfobj"
)

// document proves what belongs to no page.
func (c *check) document() {
	(&layerCheck{c.Result, c.plan, c.doc, c.artworks, c.forms}).all()
	c.intent()
	for _, key := range c.doc.Catalog().Keys() {
		switch key {
		case "Type", "Pages", "OCProperties", "OutputIntents", "Metadata", "Version":
		default:
			c.differs(PageExtra, "", "the file has %s, which nobody planned", key)
		}
	}
	info := c.doc.Dict(c.doc.Trailer()["Info"])
	if marker := pdfobj.Text(c.doc, info["GTS_PDFXVersion"]); marker != c.plan.Written.Marker {
		c.differs(MarkerDiffers, "", "the file says that it is %q, not %q", marker, c.plan.Written.Marker)
	}
}

// intent proves the output intent: an artwork's, carried over whole, or the
// job's.
func (c *check) intent() {
	intents := c.doc.Array(c.doc.Catalog()["OutputIntents"])
	want := c.plan.Written.Intent
	switch {
	case want == nil && len(intents) == 0:
		return
	case want == nil:
		c.differs(IntentDiffers, "", "the file has an output intent, and none is planned")
		return
	case len(intents) != 1:
		c.differs(IntentDiffers, "", "the file has %d output intents, not 1", len(intents))
		return
	}
	if want.Artwork > 0 {
		a := c.artworks[want.Artwork-1]
		m := c.forms.comparison(a)
		m.same("OutputIntent", a.intent(), intents[0])
		if m.found > 0 {
			c.differs(IntentDiffers, "", "the output intent is not that of %s", a.name())
		}
		return
	}
	got := c.doc.Dict(intents[0])
	if name := pdfobj.Text(c.doc, got["OutputConditionIdentifier"]); name != want.Condition {
		c.differs(IntentDiffers, "", "the output intent is for %q, not %q", name, want.Condition)
	}
	if sum := c.decodedSum(got["DestOutputProfile"]); sum != want.Profile {
		c.differs(IntentDiffers, "", "the output intent's profile is another than the job's")
	}
}

// decodedSum returns the SHA-256 of a stream's decoded data; "" for no stream.
func (c *check) decodedSum(o pdfobj.Object) string {
	s := c.doc.Stream(o)
	if s == nil {
		return ""
	}
	r, err := c.doc.Decoded(s)
	if err != nil {
		return "unreadable"
	}
	h := sha256.New()
	if _, err := io.Copy(h, r); err != nil {
		return "unreadable"
	}
	return hex.EncodeToString(h.Sum(nil))
}

// intent returns the page's output intent before the document's, and one for
// PDF/X before any other.
func (s *source) intent() pdfobj.Object {
	for _, holder := range []pdfobj.Dict{s.page, s.doc.Catalog()} {
		var best pdfobj.Object
		for _, o := range s.doc.Array(holder["OutputIntents"]) {
			d := s.doc.Dict(o)
			if d != nil && (best == nil || s.doc.Name(d["S"]) == "GTS_PDFX" && s.doc.Name(s.doc.Dict(best)["S"]) != "GTS_PDFX") {
				best = d
			}
		}
		if best != nil {
			return best
		}
	}
	return nil
}

// maxWalk bounds how many objects are looked at in search of a colour space.
const maxWalk = 1_000_000

// spacesOf returns the Separations that an artwork has of an ink, by its name in
// the file.
func (c *check) spacesOf(a *source, name pdfobj.Name) (list []pdfobj.Array) {
	seen := map[pdfobj.Ref]bool{}
	queue := []pdfobj.Object{a.page["Resources"]}
	for n := 0; len(queue) > 0 && n < maxWalk; n++ {
		o := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		if ref, ok := o.(pdfobj.Ref); ok {
			if seen[ref] {
				continue
			}
			seen[ref] = true
		}
		v, _ := a.doc.Resolve(o)
		if s, ok := v.(*pdfobj.Stream); ok {
			v = s.Dict
		}
		switch v := v.(type) {
		case pdfobj.Array:
			if len(v) >= 4 && a.doc.Name(v[0]) == "Separation" {
				raw := a.doc.Name(v[1])
				if to, ok := c.forms.renames[raw]; ok {
					raw = to
				}
				if raw == name {
					list = append(list, v)
				}
			}
			queue = append(queue, v...)
		case pdfobj.Dict:
			if !isPage(a.doc, v) {
				for _, k := range v.Keys() {
					queue = append(queue, v[k])
				}
			}
		}
	}
	return list
}
