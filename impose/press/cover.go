package press

import (
	"fmt"
	"math"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/draw"
	"quoin/impose/pdfobj"
)

// coverKey is what a cover's soft mask depends on.
type coverKey struct {
	form  pdfobj.Ref
	choke geometry.Length
}

// chokes is in how many directions an artwork is moved to choke its shape. A
// straight edge between two of them is choked by 92 % of the choke at least,
// upright and diagonal ones wholly. The RIP draws the artwork as often, so more
// would cost more than they give.
const chokes = 8

// cover paints an ink through a soft mask of where an artwork paints (ISO
// 32000-1 11.6.5.2): lines stay lines, fades stay fades, nothing is rendered.
// Varnish and what doesn't print count for nothing.
// The mask lies in the artwork's space, so that stations share it.
func (w *Writer) cover(c *canvas, used *resources, it draw.Cover) error {
	stands, m, err := w.stand(c, it.Place)
	if err != nil {
		return err
	}
	form := &w.forms.all[it.Place.Art]
	page := form.page
	shape, err := w.masks.form(it.Place.Art, stands)
	if err != nil {
		return err
	}
	state, err := w.masks.state(shape, page, it.Choke)
	if err != nil {
		return err
	}
	name := "Cover" + stands.name[len("Art"):]
	if it.Choke != 0 {
		name += fmt.Sprintf("C%d", it.Choke)
	}
	used.states[pdfobj.Name(name)] = state
	return w.painted(c, used, it.Layer, it.Paint, true, func() {
		c.path(it.Place.Clip)
		c.op("W")
		c.op("n")
		c.op("cm", m[:]...)
		c.named(name, "gs")
		b := paintBox(coverBox(page, it.Choke), it.Place, form.width, form.height)
		c.op("re", b[0], b[1], b[2]-b[0], b[3]-b[1])
		c.op("f")
	})
}

// coverBox holds all that an artwork can paint, in its form's upright space,
// wherever it is moved to.
func coverBox(p *artwork.Page, choke geometry.Length) artwork.Rect {
	b, by := p.FormMatrix().Bounds(p.Boxes.Media), choke.Points()
	return artwork.Rect{b[0] - by, b[1] - by, b[2] + by, b[3] + by}
}

// paintBox is what a cover is painted on, in its form's upright space: all that
// the artwork can paint, and all of the clip, whether the artwork has bleed there
// or ends before it. So the clip alone bounds what is painted, as planned.
func paintBox(b artwork.Rect, it draw.Place, width, height float64) artwork.Rect {
	clip := it.Clip.Bounds()
	by := max(it.Trim.Min.Across-clip.Min.Across, it.Trim.Min.Around-clip.Min.Around,
		clip.Max.Across-it.Trim.Max.Across, clip.Max.Around-it.Trim.Max.Around, 0).Points()
	return artwork.Rect{min(b[0], -by), min(b[1], -by), max(b[2], width+by), max(b[3], height+by)}
}

// state returns the graphics state that masks by an artwork's shape.
//
// Without choke, the mask is the alpha of the artwork. With it, the mask is the
// least alpha of the artwork moved by the choke in all directions: what lies
// nearer to an edge than that is outside of one of them. The least is found by
// painting grey pictures of the alphas over each other in the mode Darken.
func (w *maskWriter) state(form pdfobj.Ref, p *artwork.Page, choke geometry.Length) (pdfobj.Ref, error) {
	key := coverKey{form, choke}
	if ref, ok := w.covers[key]; ok {
		return ref, nil
	}
	box := coverBox(p, choke)
	whole := fmt.Sprintf("%s re f\n", rectangle(box))
	alpha, err := w.group(box, nil, pdfobj.Dict{"XObject": pdfobj.Dict{"Art": form}}, "/Art Do\n")
	if err != nil {
		return alpha, err
	}
	mask := pdfobj.Dict{"S": pdfobj.Name("Alpha"), "G": alpha}
	if choke > 0 {
		grey := pdfobj.Name("DeviceGray")
		// The picture reaches as far beyond the box as it is moved.
		wide := artwork.Rect{box[0] - choke.Points(), box[1] - choke.Points(), box[2] + choke.Points(), box[3] + choke.Points()}
		picture, err := w.group(wide, grey, pdfobj.Dict{"ExtGState": pdfobj.Dict{"Alpha": masking(mask)}},
			fmt.Sprintf("0 g %s re f\n/Alpha gs 1 g %s", rectangle(wide), whole))
		if err != nil {
			return picture, err
		}
		c := &ops{buf: []byte("1 g " + whole + "/Least gs\n")}
		for i := range chokes {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / chokes)
			c.op("q")
			c.op("cm", 1, 0, 0, 1, choke.Points()*cos, choke.Points()*sin)
			c.named("Picture", "Do")
			c.op("Q")
		}
		least, err := w.group(box, grey, pdfobj.Dict{
			"ExtGState": pdfobj.Dict{"Least": pdfobj.Dict{"Type": pdfobj.Name("ExtGState"), "BM": pdfobj.Name("Darken")}},
			"XObject":   pdfobj.Dict{"Picture": picture},
		}, string(c.buf))
		if err != nil {
			return least, err
		}
		mask = pdfobj.Dict{"S": pdfobj.Name("Luminosity"), "G": least, "BC": pdfobj.Array{pdfobj.Integer(0)}}
	}
	ref := w.file.out.Alloc()
	w.covers[key] = ref
	return ref, w.file.out.Put(ref, masking(mask))
}

func masking(mask pdfobj.Dict) pdfobj.Dict {
	mask["Type"] = pdfobj.Name("Mask")
	return pdfobj.Dict{"Type": pdfobj.Name("ExtGState"), "SMask": mask}
}

// group writes an isolated group for a soft mask.
func (w *maskWriter) group(box artwork.Rect, space pdfobj.Object, resources pdfobj.Dict, content string) (pdfobj.Ref, error) {
	dict := formDict(box[:])
	dict["Resources"] = resources
	group := pdfobj.Dict{"Type": pdfobj.Name("Group"), "S": pdfobj.Name("Transparency"), "I": true}
	if space != nil {
		group["CS"] = space
	}
	dict["Group"] = group
	return putStream(w.file.out, dict, []byte(content), true)
}

func rectangle(b artwork.Rect) string {
	var buf []byte
	for i, v := range []float64{b[0], b[1], b[2] - b[0], b[3] - b[1]} {
		if i > 0 {
			buf = append(buf, ' ')
		}
		buf = appendNumber(buf, v)
	}
	return string(buf)
}
