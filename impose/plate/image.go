package plate

import (
	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// long gives the full keys of inline images (8.9.7).
var long = map[pdfobj.Name]pdfobj.Name{
	"BPC": "BitsPerComponent", "CS": "ColorSpace", "D": "Decode", "DP": "DecodeParms", "F": "Filter",
	"H": "Height", "IM": "ImageMask", "I": "Interpolate", "W": "Width", "L": "Length",
}

// kept are the keys that an image of the copy keeps as they are.
var kept = []pdfobj.Name{"Width", "Height", "BitsPerComponent", "Decode", "DecodeParms", "Filter", "ImageMask", "Mask", "SMask", "SMaskInData", "Interpolate"}

// imageCopy writes images.
type imageCopy struct{ r *rewriter }

// inline paints an inline image as an image XObject.
func (r imageCopy) inline(stream *pdfobj.Stream) {
	dict := pdfobj.Dict{}
	for _, key := range stream.Dict.Keys() {
		full := key
		if l := long[key]; l != "" && stream.Dict[l] == nil {
			full = l
		}
		dict[full] = stream.Dict[key]
	}
	whole := *stream
	whole.Dict = dict
	r.one(&whole, true)
}

// one paints an image (8.9): its data as they are, in a colour space that
// picks out the plate.
func (r imageCopy) one(stream *pdfobj.Stream, inline bool) {
	if r.r.hidden > 0 {
		return
	}
	b := r.r.b
	if mask, _ := b.doc.Bool(stream.Dict["ImageMask"]); mask {
		if r.r.isolated || b.paints(&r.r.g.fill, r.r.g.overFill, r.r.g.mode) {
			r.paint(stream, nil, r.r.seen.alpha)
		}
		return
	}
	sp, want := r.space(stream), r.r.g.opacity()
	if r.r.uncoloured {
		return
	}
	if !b.paintsSpace(sp, r.r.g.overFill) {
		if !r.r.isolated || sp.none() {
			return
		}
		want.blend = "Multiply" // all white: see sync
	}
	b.noteColour(sp)
	b.noteSpaceInk(sp)
	r.paint(stream, sp, want)
}

// noteSpaceInk notes that what is painted in a space may put ink on the plate.
func (b *builder) noteSpaceInk(sp *space) {
	for sp.family == indexedSpace && sp.base != nil {
		sp = sp.base
	}
	if _, names := sp.tint(b.ink, nil); names {
		b.inked = true
	}
}

// space reads the colour space of an image; JPEG 2000 may bring its own.
func (r imageCopy) space(stream *pdfobj.Stream) *space {
	if o := stream.Dict["ColorSpace"]; o != nil {
		return r.r.b.spaces.read(o, r.r.res, 0)
	}
	device := map[int]pdfobj.Name{1: "DeviceGray", 3: "DeviceRGB", 4: "DeviceCMYK"}[artwork.JPXChannels(r.r.b.doc, stream)]
	if device == "" {
		return r.r.b.spaces.plain(unknownSpace, "an image without colour space", 0)
	}
	return r.r.b.spaces.read(device, r.r.res, 0)
}

// paint writes an image in the substitute of its space, or a stencil if
// there is none, and paints it.
func (r imageCopy) paint(stream *pdfobj.Stream, sp *space, want opacity) {
	b := r.r.b
	b.snaps = true
	kind := "stencil"
	if sp != nil {
		kind = "image" + sp.label
	}
	name, err := b.copyOnce(kind, stream.Ref, "", func() (pdfobj.Name, error) {
		return b.copyImage(stream, sp)
	})
	if err != nil {
		r.r.fail(err)
		return
	}
	r.r.opacity(want)
	r.r.to.write("/" + string(name) + " Do\n")
	r.r.sync()
}

func (b *builder) copyImage(stream *pdfobj.Stream, sp *space) (pdfobj.Name, error) {
	dict := pdfobj.Dict{"Type": pdfobj.Name("XObject"), "Subtype": pdfobj.Name("Image")}
	for _, key := range kept {
		if v := stream.Dict[key]; v != nil {
			dict[key] = v
		}
	}
	if sp != nil {
		space, err := b.substitutes.of(sp)
		if err != nil {
			return "", err
		}
		dict["ColorSpace"] = pdfobj.Place(space)
		if sp.family == labSpace {
			delete(dict, "Decode")
		}
	}
	copied := *stream
	copied.Dict, copied.Ref = dict, pdfobj.Ref{}
	ref, err := b.copier.Copy(&copied)
	if err != nil {
		return "", err
	}
	return b.resource("XObject", "X", "", ref), nil
}
