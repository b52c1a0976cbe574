package verify

import (
	"fmt"
	"slices"

	"quoin/impose/pdfobj"
)

// page proves one frame.
func (c *check) page(n int, page *pdfobj.Page) {
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
	c.stations(where, all)
	c.drawn(where, all, r.layers())
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
func (c *check) boxes(where string, page pdfobj.Dict) {
	size := c.plan.Written.SizePt
	want := box{0, 0, size[0], size[1]}
	for _, key := range []pdfobj.Name{"MediaBox", "BleedBox", "TrimBox", "CropBox", "ArtBox"} {
		optional := key == "CropBox" || key == "ArtBox"
		if page[key] == nil && optional {
			continue
		}
		if got, ok := boxOf(c.doc, page[key]); !ok || !got.near(want) || optional && key == "ArtBox" {
			c.differs(PageBox, where, "the %s is %s, not %s", key, c.at(got), c.at(want))
		}
	}
}

// blendSpace proves the frame's page group: it blends in the space of the
// artwork that the plan names, or there is none.
func (c *check) blendSpace(where string, page pdfobj.Dict) {
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
	quiet := c.comparison(a)
	quiet.result, quiet.limit = &Result{}, 1
	quiet.same("", a.doc.Dict(a.page["Group"])["CS"], group["CS"])
	if quiet.found > 0 {
		c.differs(BlendSpace, where, "the frame doesn't blend in the colour space of %s", a.name())
	}
	if knockout, _ := c.doc.Bool(group["K"]); knockout {
		c.differs(BlendSpace, where, "the frame's transparency group knocks out")
	}
}

// layers gives the names of the page's layers by their names among the
// resources.
func (r *reader) layers() map[string]string {
	names := map[string]string{}
	properties := r.doc.Dict(r.resources["Properties"])
	for _, key := range properties.Keys() {
		names[string(key)] = textOf(r.doc, r.doc.Dict(properties[key])["Name"])
	}
	return names
}

// stations proves that each station paints its artwork, and that nothing else
// is painted that way.
func (c *check) stations(where string, all []painted) {
	var places []painted
	for _, p := range all {
		if p.what == "label" {
			places = append(places, p)
		}
	}
	pairs := c.matchStations(places)
	taken := map[int]bool{}
	for i, s := range c.plan.Stations {
		at := fmt.Sprintf("%s, lane %d, row %d", where, s.Lane, s.Row)
		if pairs[i] < 0 {
			c.differs(StationMissing, at, "nothing is placed at %s, where %s is planned", c.at(s.TrimPt), s.Artwork)
			continue
		}
		taken[pairs[i]] = true
		c.Stations++
		c.station(at, s, places[pairs[i]])
	}
	for i, p := range places {
		if !taken[i] {
			c.differs(StationExtra, where, "object %d is placed at %s, where nothing is planned", p.form.Num, c.at(p.clip))
		}
	}
}

// matchStations gives for each station the placement that must be meant for it,
// or -1: the one with its clip, or else the nearest that is left, less than
// half a label away by its clip or by where its artwork would stand.
func (c *check) matchStations(places []painted) []int {
	stations := c.plan.Stations
	pairs := make([]int, len(stations))
	taken := make([]bool, len(places))
	for i, s := range stations {
		pairs[i] = slices.IndexFunc(places, func(p painted) bool { return s.clips(p.clip) })
		if pairs[i] >= 0 && taken[pairs[i]] {
			pairs[i] = -1
		}
		if pairs[i] >= 0 {
			taken[pairs[i]] = true
		}
	}
	for i, s := range stations {
		if pairs[i] >= 0 {
			continue
		}
		best := min(s.TrimPt[2]-s.TrimPt[0], s.TrimPt[3]-s.TrimPt[1]) / 2
		middle := c.artworks[c.plan.artwork(s)].trim.centre()
		for j, p := range places {
			stands := c.formMatrix(c.doc.Stream(p.form)).then(p.matrix).apply(middle)
			d := min(distance(p.clip.centre(), s.ClipPt.centre()), distance(stands, s.TrimPt.centre()))
			if !taken[j] && d < best {
				best, pairs[i] = d, j
			}
		}
		if pairs[i] >= 0 {
			taken[pairs[i]] = true
		}
	}
	return pairs
}
