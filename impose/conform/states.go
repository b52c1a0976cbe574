package conform

import (
	"slices"

	"quoin/impose/pdfobj"
)

// stateKeys are those of a graphics state's parameters in PDF 1.6 (ISO 32000-1
// Table 58). PDF 2.0 adds UseBlackPtComp and HTO.
var stateKeys = []pdfobj.Name{
	"Type", "LW", "LC", "LJ", "ML", "D", "RI", "OP", "op", "OPM", "Font", "BG", "BG2", "UCR", "UCR2",
	"TR", "TR2", "HT", "FL", "SM", "SA", "BM", "SMask", "CA", "ca", "AIS", "TK",
}

// intents are the rendering intents (ISO 32000-1 Table 70).
var intentNames = []pdfobj.Name{"AbsoluteColorimetric", "RelativeColorimetric", "Saturation", "Perceptual"}

// blendModes are those of ISO 32000-1 Tables 136 and 137, and the old word for
// Normal.
var blendModes = []pdfobj.Name{
	"Normal", "Compatible", "Multiply", "Screen", "Overlay", "Darken", "Lighten", "ColorDodge", "ColorBurn",
	"HardLight", "SoftLight", "Difference", "Exclusion", "Hue", "Saturation", "Color", "Luminosity",
}

// state checks an ExtGState (ISO 32000-1 8.4.5).
func (w *walker) state(o pdfobj.Object) {
	d := w.doc.Dict(o)
	for _, key := range d.Keys() {
		if !slices.Contains(stateKeys, key) {
			w.breach(Features, o, "a graphics state says %s, which PDF 1.6 doesn't know", key)
		}
	}
	// Transfer functions, black generation and undercolour removal belong to one
	// device. TR has no word for "the device's own"; the newer keys have.
	for _, key := range []pdfobj.Name{"TR", "BG", "UCR"} {
		if d[key] != nil {
			w.breach(Device, o, "a graphics state has %s, a function for one device", key)
		}
	}
	for _, key := range []pdfobj.Name{"TR2", "BG2", "UCR2"} {
		if d[key] != nil && w.doc.Name(d[key]) != "Default" {
			w.breach(Device, o, "a graphics state has %s other than Default", key)
		}
	}
	if d["HT"] != nil && w.doc.Name(d["HT"]) != "Default" {
		w.halftone(d["HT"], o, 0)
	}
	if ri := w.doc.Name(d["RI"]); d["RI"] != nil && !slices.Contains(intentNames, ri) {
		w.breach(Features, o, "the rendering intent %q is not known", ri)
	}
	if mode, ok := w.doc.Int(d["OPM"]); d["OPM"] != nil && (!ok || mode != 0 && mode != 1) {
		w.breach(Features, o, "the overprint mode is neither 0 nor 1")
	}
	w.blend(d["BM"], o)
	if d["SMask"] != nil && w.doc.Name(d["SMask"]) != "None" {
		w.enlist(asMask, d["SMask"])
	}
	if font := w.doc.Array(d["Font"]); len(font) > 0 {
		w.enlist(asFont, font[0])
	}
}

// blend checks a blend mode, or a list of which a reader takes the first that
// it knows.
func (w *walker) blend(o, at pdfobj.Object) {
	if o == nil {
		return
	}
	modes := w.doc.Array(o)
	if modes == nil {
		modes = pdfobj.Array{o}
	}
	for _, m := range modes {
		if name := w.doc.Name(m); !slices.Contains(blendModes, name) {
			w.breach(Features, at, "the blend mode %q is not known", name)
		}
	}
}

// mask checks a soft mask (ISO 32000-1 11.6.5.3).
func (w *walker) mask(o pdfobj.Object) {
	d := w.doc.Dict(o)
	if s := w.doc.Name(d["S"]); s != "Alpha" && s != "Luminosity" {
		w.breach(Features, o, "a soft mask is of the kind %q", s)
	}
	if w.doc.Stream(d["G"]) == nil {
		w.breach(Readable, o, "a soft mask has no group")
	}
	w.enlist(asXObject, d["G"])
	if d["TR"] != nil && w.doc.Name(d["TR"]) != "Identity" {
		w.isFunction(d["TR"], 1, 1, "a soft mask", o)
	}
}

// halftone allows types 1 and 5 without a name and without transfer functions.
func (w *walker) halftone(o, at pdfobj.Object, depth int) {
	d := w.doc.Dict(o)
	kind, ok := w.doc.Int(d["HalftoneType"])
	switch {
	case !ok || kind != 1 && (kind != 5 || depth > 0):
		w.breach(Device, at, "the artwork asks for a halftone other than of types 1 and 5")
		return
	case d["HalftoneName"] != nil:
		w.breach(Device, at, "the artwork asks for a halftone of its own by name")
	case d["TransferFunction"] != nil:
		w.breach(Device, at, "a halftone has a transfer function")
	}
	if kind != 5 {
		return
	}
	for _, key := range d.Keys() {
		if key != "Type" && key != "HalftoneType" && key != "HalftoneName" {
			w.halftone(d[key], at, depth+1)
		}
	}
}
