package verify

import (
	"fmt"

	"quoin/impose/pdfobj"
)

// pageCheck proves the frames, each of which is a page.
type pageCheck struct {
	*Result
	plan     *Expected
	doc      *pdfobj.Document
	artworks []*source
	forms    *forms
	stations *stationCheck
	drawn    *drawnCheck
}

// one proves one frame.
func (c *pageCheck) one(n int, page *pdfobj.Page) {
	where := fmt.Sprintf("page %d", n)
	c.boxes(where, page.Dict)
	c.blendSpace(where, page.Dict)
	for _, key := range []pdfobj.Name{"Annots", "AA", "Rotate", "UserUnit", "Tabs", "PieceInfo", "B", "Thumb", "VP", "OutputIntents"} {
		v, _ := c.doc.Resolve(page.Dict[key])
		if x, ok := number(v); v != nil && !(ok && (x == 0 && key == "Rotate" || x == 1 && key == "UserUnit")) {
			c.differs(PageExtra, where, "the frame has %s, which nobody planned: %s", key, shown(v))
		}
	}
	var all []painted
	r := &reader{
		doc: c.doc, resources: c.doc.Dict(page.Dict["Resources"]), tell: func(p painted) { all = append(all, p) },
		fonts: map[pdfobj.Ref]*font{}, spaces: map[pdfobj.Ref]colour{},
	}
	if err := r.run(page.Dict["Contents"], c.plan.Written.SizePt); err != nil {
		c.differs(Unreadable, where, "the frame's content: %v", err)
	}
	c.stations.on(where, all)
	c.drawn.on(where, all, r.layers())
	c.Drawn += len(all) - count(all, func(p painted) bool { return p.what == "label" })
}

func count[T any](list []T, is func(T) bool) (n int) {
	for _, v := range list {
		if is(v) {
			n++
		}
	}
	return n
}

// boxes proves the page's boxes, which are all the whole frame.
func (c *pageCheck) boxes(where string, page pdfobj.Dict) {
	size := c.plan.Written.SizePt
	want := box{0, 0, size[0], size[1]}
	for _, key := range []pdfobj.Name{"MediaBox", "BleedBox", "TrimBox", "CropBox", "ArtBox"} {
		optional := key == "CropBox" || key == "ArtBox"
		if page[key] == nil && optional {
			continue
		}
		if got, ok := boxOf(c.doc, page[key]); !ok || !got.near(want) || optional && key == "ArtBox" {
			c.differs(PageBox, where, "the %s is %s, not %s", key, c.plan.at(got), c.plan.at(want))
		}
	}
}

// blendSpace proves the frame's page group: it blends in the space of the
// artwork that the plan names, or there is none.
func (c *pageCheck) blendSpace(where string, page pdfobj.Dict) {
	group := c.doc.Dict(page["Group"])
	from := c.plan.Written.BlendSpace
	if from == nil {
		if group != nil {
			c.differs(BlendSpace, where, "the frame has a transparency group, and none is planned")
		}
		return
	}
	a := c.artworks[from.Artwork-1]
	isolated, _ := c.doc.Bool(group["I"])
	if c.doc.Name(group["S"]) != "Transparency" || !isolated {
		c.differs(BlendSpace, where, "the frame has no isolated transparency group to blend in the colours of %s", a.name())
		return
	}
	quiet := c.forms.comparison(a)
	quiet.result, quiet.limit = &Result{}, 1
	quiet.same("", a.doc.Dict(a.page["Group"])["CS"], group["CS"])
	if quiet.found > 0 {
		c.differs(BlendSpace, where, "the frame doesn't blend in the colour space of %s", a.name())
	}
	if knockout, _ := c.doc.Bool(group["K"]); knockout {
		c.differs(BlendSpace, where, "the frame's transparency group knocks out")
	}
}

// layers returns the names of the page's layers by their names among the
// resources.
func (r *reader) layers() map[string]string {
	names := map[string]string{}
	properties := r.doc.Dict(r.resources["Properties"])
	for _, key := range properties.Keys() {
		names[string(key)] = pdfobj.Text(r.doc, r.doc.Dict(properties[key])["Name"])
	}
	return names
}
