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

// shortSpaces gives the full names of colour spaces in inline images. Elsewhere they
// are names like any other, which the resources may give to a space.
var shortSpaces = map[pdfobj.Name]pdfobj.Name{"G": "DeviceGray", "RGB": "DeviceRGB", "CMYK": "DeviceCMYK"}

// inlineSpace returns the colour space of an inline image in full names.
func inlineSpace(doc *pdfobj.Document, o pdfobj.Object) pdfobj.Object {
	if long := shortSpaces[doc.Name(o)]; long != "" {
		return long
	}
	a := doc.Array(o)
	if len(a) < 2 || doc.Name(a[0]) != "I" && doc.Name(a[0]) != "Indexed" {
		return o
	}
	return append(pdfobj.Array{pdfobj.Name("Indexed"), inlineSpace(doc, a[1])}, a[2:]...)
}

// kept are the keys that an image of the copy keeps as they are.
var kept = []pdfobj.Name{"Width", "Height", "BitsPerComponent", "Decode", "DecodeParms", "Filter", "ImageMask", "Mask", "SMask", "SMaskInData", "Interpolate"}

// copyInline paints an inline image as an image XObject.
func copyInline(x *rewriter, stream *pdfobj.Stream) {
	dict := pdfobj.Dict{}
	for _, key := range stream.Dict.Keys() {
		full := key
		if l := long[key]; l != "" && stream.Dict[l] == nil {
			full = l
		}
		dict[full] = stream.Dict[key]
	}
	if o := dict["ColorSpace"]; o != nil {
		dict["ColorSpace"] = inlineSpace(x.b.doc, o)
	}
	whole := *stream
	whole.Dict = dict
	copyImage(x, &whole)
}

// copyImage paints an image (8.9): its data as they are, in a colour space that
// picks out the plate.
func copyImage(x *rewriter, stream *pdfobj.Stream) {
	if x.hidden > 0 {
		return
	}
	b := x.b
	if mask, _ := b.doc.Bool(stream.Dict["ImageMask"]); mask {
		x.ready(theFill)
		if x.isolated || b.touched(&x.g.fill, x.g.overFill, x.g.mode) != 0 {
			paintImage(x, stream, nil, x.seen.alpha)
		}
		return
	}
	sp, want := imageSpace(x, stream), x.g.opacity()
	if x.uncoloured {
		return
	}
	touched := b.touchedBy(sp, x.g.overFill)
	x.part(touched, ^touched)
	if touched == 0 {
		if !x.isolated || sp.none() {
			return
		}
		want.blend = "Multiply" // all white: see sync
	}
	b.noteColour(sp)
	b.noteSpaceInk(sp)
	paintImage(x, stream, sp, want)
}

// noteSpaceInk notes on which plates what is painted in a space may put ink.
func (in *inking) noteSpaceInk(sp *space) {
	for sp.family == indexedSpace && sp.base != nil {
		sp = sp.base
	}
	in.inked |= in.those(func(k Ink) bool {
		_, names := sp.tint(k, nil)
		return names
	})
}

// imageSpace reads the colour space of an image; JPEG 2000 may bring its own.
func imageSpace(x *rewriter, stream *pdfobj.Stream) *space {
	if o := stream.Dict["ColorSpace"]; o != nil {
		return x.b.spaces.read(o, x.res, 0)
	}
	device := map[int]pdfobj.Name{1: "DeviceGray", 3: "DeviceRGB", 4: "DeviceCMYK"}[artwork.JPXChannels(x.b.doc, stream)]
	if device == "" {
		return x.b.spaces.plain(unknownSpace, "an image without colour space", 0)
	}
	return x.b.spaces.read(device, x.res, 0)
}

// paintImage writes an image in the substitute of its space, or a stencil if
// there is none, and paints it.
func paintImage(x *rewriter, stream *pdfobj.Stream, sp *space, want opacity) {
	b := x.b
	b.snaps = true
	kind := "stencil"
	if sp != nil {
		kind = "image" + sp.label
	}
	name, err := b.copyOnce(kind, stream.Ref, "", func() (pdfobj.Name, error) {
		return b.copyImage(stream, sp)
	})
	if err != nil {
		x.fail(err)
		return
	}
	x.opacity(want)
	x.to.write("/" + string(name) + " Do\n")
	x.sync()
}

func (b *builder) copyImage(stream *pdfobj.Stream, sp *space) (pdfobj.Name, error) {
	if b.looks {
		return b.resource("XObject", "X", "", nil), nil
	}
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
	ref, err := b.copy(&copied)
	if err != nil {
		return "", err
	}
	return b.resource("XObject", "X", "", ref), nil
}
