package conform

import (
	"slices"

	"quoin/impose/pdfobj"
)

// filters are those of PDF 1.6 that a press-ready file may use. LZW has a
// finding of its own.
var filters = []pdfobj.Name{
	"ASCIIHexDecode", "ASCII85Decode", "FlateDecode", "RunLengthDecode", "CCITTFaxDecode", "JBIG2Decode", "DCTDecode", "JPXDecode", "LZWDecode",
}

// stream checks what all streams may be.
func (w *walker) stream(s *pdfobj.Stream, what string) {
	if s.Dict["F"] != nil {
		w.breach(Features, s, "%s lies in another file", what)
	}
	stages, err := w.doc.Stages(s)
	if err != nil {
		w.breach(Readable, s, "the filters of %s can't be read", what)
	}
	for _, stage := range stages {
		if !slices.Contains(filters, pdfobj.Name(stage.Filter)) {
			w.breach(Features, s, "%s is compressed with %s", what, stage.Filter)
		}
	}
}

// pattern checks a tiling or shading pattern (ISO 32000-1 8.7).
func (w *walker) pattern(o pdfobj.Object) {
	if stream := w.doc.Stream(o); stream != nil {
		if kind, _ := w.doc.Int(stream.Dict["PatternType"]); kind != 1 {
			w.breach(Features, o, "a pattern is of the type %d", kind)
		}
		w.stream(stream, "a pattern")
		w.enlist(asResources, stream.Dict["Resources"])
		return
	}
	d := w.doc.Dict(o)
	if kind, _ := w.doc.Int(d["PatternType"]); kind != 2 {
		w.breach(Features, o, "a pattern is of the type %d", kind)
	}
	w.enlist(asShading, d["Shading"])
	w.enlist(asState, d["ExtGState"])
}

// shading checks 8.7.4.5: a known type, and a function that gives the
// components of its space, or a number each.
func (w *walker) shading(o pdfobj.Object) {
	d := w.doc.Dict(o)
	if stream := w.doc.Stream(o); stream != nil {
		d = stream.Dict
		w.stream(stream, "a shading")
	}
	kind, _ := w.doc.Int(d["ShadingType"])
	if kind < 1 || kind > 7 {
		w.breach(Features, o, "a shading is of the type %d", kind)
		return
	}
	n := w.space(d["ColorSpace"], 0)
	if d["Function"] == nil {
		if kind <= 3 {
			w.breach(Readable, o, "a shading has no function")
		}
		return
	}
	inputs := 1
	if kind == 1 {
		inputs = 2
	}
	w.isFunction(d["Function"], inputs, n, "a shading", o)
}

// xobject checks a form or an image (ISO 32000-1 8.8).
func (w *walker) xobject(o pdfobj.Object) {
	stream := w.doc.Stream(o)
	if stream == nil {
		return
	}
	d := stream.Dict
	if d["OPI"] != nil {
		w.breach(Device, stream, "a stand-in (OPI) for an image that is not in the file")
	}
	switch kind := w.doc.Name(d["Subtype"]); kind {
	case "Image":
		w.image(stream)
	case "Form", "":
		w.form(stream)
	case "PS":
		w.breach(Device, stream, "an object is PostScript")
	default:
		w.breach(Features, stream, "an object to be painted is of the kind %q", kind)
	}
}

func (w *walker) form(stream *pdfobj.Stream) {
	d := stream.Dict
	w.stream(stream, "a form")
	switch kind := w.doc.Name(d["Subtype2"]); {
	case kind == "PS" || d["PS"] != nil:
		w.breach(Device, stream, "a form is PostScript")
	case d["Subtype2"] != nil:
		w.breach(Features, stream, "a form is of the second kind %q", kind)
	}
	if d["Ref"] != nil {
		w.breach(Device, stream, "a form stands for a page of another file")
	}
	w.group(w.doc.Dict(d["Group"]), "a form")
	w.enlist(asResources, d["Resources"])
}

func (w *walker) image(stream *pdfobj.Stream) {
	d := stream.Dict
	w.stream(stream, "an image")
	if d["Alternates"] != nil {
		w.breach(Device, stream, "an image has alternates")
	}
	if ri := w.doc.Name(d["Intent"]); d["Intent"] != nil && !slices.Contains(intentNames, ri) {
		w.breach(Features, stream, "the rendering intent %q is not known", ri)
	}
	if d["ColorSpace"] != nil {
		w.space(d["ColorSpace"], 0)
	}
	for _, mask := range []pdfobj.Name{"SMask", "Mask"} {
		if w.doc.Stream(d[mask]) != nil {
			w.enlist(asXObject, d[mask])
		}
	}
	if fault := w.jpx(stream); fault != "" {
		w.breach(Features, stream, "a JPEG 2000 image %s", fault)
	}
}
