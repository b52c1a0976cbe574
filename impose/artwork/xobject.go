package artwork

import (
	"math"

	"quoin/impose/pdfobj"
)

// do paints an external object, 8.8.
func (p *painter) do(name pdfobj.Name) {
	o := p.resource(p.scope, "XObject", name)
	stream := p.doc.Stream(o)
	if stream == nil {
		return
	}
	m := p.enter(stream.Dict["OC"])
	defer p.leave(m)
	what := "XObject " + NameText(string(name))
	if stream.Dict["OPI"] != nil {
		p.found.add(OPI, objectName(stream.Ref), "%s is a low-resolution stand-in (OPI) for an image that is not in the file", what)
	}
	switch p.doc.Name(stream.Dict["Subtype"]) {
	case "Image":
		paintImage(p, stream, name, false)
	case "PS":
		p.found.add(PostScript, objectName(stream.Ref), "%s is PostScript, which no PDF reader runs; it will be missing", what)
	default: // Form; a form without Subtype is one all the same
		if stream.Dict["Ref"] != nil {
			p.found.add(Reference, objectName(stream.Ref), "%s stands for a page of another file that is not here", what)
		}
		p.form(stream, what)
	}
}

// form walks a form XObject, 8.10, with what its group changes, 11.6.6.
func (p *painter) form(stream *pdfobj.Stream, what string) {
	g := p.g
	if m, ok := p.doc.Numbers(stream.Dict["Matrix"]); ok && len(m) >= 6 {
		if placed := Matrix(m[:6]).Then(g.ctm); placed.finite() {
			g.ctm = placed
		}
	}
	if box, ok := p.doc.Numbers(stream.Dict["BBox"]); ok && len(box) >= 4 && !p.repeats {
		r := Rect{min(box[0], box[2]), min(box[1], box[3]), max(box[0], box[2]), max(box[1], box[3])}
		g.clip = g.clip.Intersect(g.ctm.Bounds(r))
		if p.ground != nil {
			p.ground.clip(&g, around(r, g.ctm))
		}
	}
	p.noteTurn(stream.Ref, g.ctm)
	extra := uint8(0)
	if p.repeats {
		extra = repeating
	}
	var lent *borrower
	if stream.Dict["Resources"] == nil {
		lent = p.borrow(stream.Ref, p.scope, what)
	}
	walked := p.inside(stream, &g, extra, func(repeats bool) {
		p.checkFilters(stream, what)
		sc := p.scan.scope(stream.Dict["Resources"], p.scope).lentTo(lent)
		if stream.Dict["Resources"] == nil {
			p.found.add(NoResources, objectName(stream.Ref), "%s has no resources of its own and takes those of the page", what)
		}
		blend, isolated := p.blendRGB, p.white.isolated
		if group := p.doc.Dict(stream.Dict["Group"]); p.doc.Name(group["S"]) == "Transparency" {
			if p.hidden == 0 && p.masking == 0 {
				p.page.Transparency = true
			}
			g.normal = true
			noteGroup(p.scan, group["CS"], sc)
			if own, _ := p.doc.Bool(group["I"]); own {
				p.white.isolated = len(p.white.whites)
				if group["CS"] != nil {
					p.blendRGB = blendsInRGB(p.scan, group["CS"], sc)
				}
			}
		}
		p.content(stream, sc, g, repeats, p.uncoloured)
		p.blendRGB, p.white.isolated = blend, isolated
	})
	if !walked {
		p.ground.rough(p, g.clip)
	}
}

// paintImage notes an image XObject or an inline image, 8.9.
func paintImage(p *painter, stream *pdfobj.Stream, name pdfobj.Name, inline bool) {
	// Inline images have short keys.
	get := func(long, short pdfobj.Name) pdfobj.Object {
		if o := stream.Dict[long]; o != nil || !inline {
			return o
		}
		return stream.Dict[short]
	}
	mask, _ := p.doc.Bool(get("ImageMask", "IM"))
	bounds := p.g.ctm.Bounds(Rect{0, 0, 1, 1})
	img := Image{Ref: stream.Ref, Name: NameText(string(name)), Mask: mask, Bits: 1}
	width, _ := p.doc.Int(get("Width", "W"))
	height, _ := p.doc.Int(get("Height", "H"))
	img.Width, img.Height = int(width), int(height)
	if bits, ok := p.doc.Int(get("BitsPerComponent", "BPC")); ok && !mask {
		img.Bits = int(bits)
	} else if !mask {
		img.Bits = 8
	}
	if stages, err := p.doc.Stages(stream); err == nil && len(stages) > 0 {
		img.Filter = string(stages[len(stages)-1].Filter)
	}
	p.checkFilters(stream, "image "+img.Name)
	if stream.Dict["Alternates"] != nil {
		p.found.add(Alternates, objectName(stream.Ref), "image %s has alternates; the image itself is placed, and a RIP may take another", img.Name)
	}
	inMask, _ := p.doc.Int(stream.Dict["SMaskInData"])
	if (p.doc.Stream(stream.Dict["SMask"]) != nil || inMask > 0) && p.hidden == 0 && p.masking == 0 {
		p.page.Transparency = true
	}
	if mask {
		img.Space = p.g.fill.space.label
		p.paint(&p.g.fill, bounds, p.g.overFill, pictures)
	} else {
		sp := imageSpace(p, stream, get("ColorSpace", "CS"), inline, &img)
		img.Space = sp.label
		if sp.family == indexedSpace {
			img.Space = "Indexed " + sp.base.label
		}
		if p.masking == 0 {
			around := p.in
			if !stream.Ref.IsZero() {
				p.in = stream.Ref
			}
			p.ground.rough(p, p.seen(bounds))
			p.paintSpace(sp, nil, p.seen(bounds), p.g.overFill, pictures)
			p.in = around
		}
	}
	noteImage(p, img, bounds)
}

// imageSpace reads the colour space of an image; JPEG 2000 may bring its own.
func imageSpace(p *painter, stream *pdfobj.Stream, o pdfobj.Object, inline bool, img *Image) *space {
	if o != nil {
		return spaceOf(p.scan, o, p.scope, inline, 0)
	}
	if img.Filter == "JPXDecode" {
		if n := JPXChannels(p.doc, stream); n > 0 {
			device := map[int]pdfobj.Name{1: "DeviceGray", 3: "DeviceRGB", 4: "DeviceCMYK"}[n]
			if device != "" {
				return spaceOf(p.scan, device, p.scope, false, 0)
			}
		}
	}
	return &space{label: "an image without colour space"}
}

// noteImage keeps each image once, at the lowest resolution that it has.
func noteImage(p *painter, img Image, bounds Rect) {
	if p.hidden > 0 || !p.seen(bounds).meets(p.area) {
		return
	}
	img.At = p.seen(bounds)
	across := math.Hypot(p.g.ctm[0], p.g.ctm[1]) * p.page.UserUnit
	around := math.Hypot(p.g.ctm[2], p.g.ctm[3]) * p.page.UserUnit
	if across > 0 && around > 0 && img.Width > 0 && img.Height > 0 {
		img.PPI = math.Min(72*float64(img.Width)/across, 72*float64(img.Height)/around)
	}
	if i, known := p.images[img.Ref]; known && !img.Ref.IsZero() {
		if old := &p.page.Images[i]; img.PPI < old.PPI {
			old.PPI, old.At = img.PPI, img.At
		}
		return
	}
	if len(p.page.Images) >= maxImages {
		return
	}
	p.images[img.Ref] = len(p.page.Images)
	p.page.Images = append(p.page.Images, img)
}

// maxImages bounds the list; a page sliced into more has said enough.
const maxImages = 2000
