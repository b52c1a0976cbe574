package artwork

import (
	"fmt"
	"math"

	"quoin/impose/pdfobj"
)

// Boxes are the boundaries of a page, 14.11.2, in its default user space:
// normalised, with the defaults filled in, and cut to the media box.
type Boxes struct {
	Media, Crop, Bleed, Trim, Art Rect
	// Given tells which of them the page (or its parents) really states.
	Given struct{ Media, Crop, Bleed, Trim, Art bool }
}

// fallback is the page size that readers take when a page states none: US
// Letter, common practice, no source. It serves to look at such a page, which
// is never placed.
var fallback = Rect{0, 0, 612, 792}

// maxCoordinate keeps boxes within what a whole number of nanometres and a
// renderer's fixed point can hold: 3.5 km.
const maxCoordinate = 1e7

// boxTolerance is how far boxes may stray and still count as the same: 0.01
// pt, because many writers round to two decimals.
const boxTolerance = 0.01

func readBoxes(doc *pdfobj.Document, page pdfobj.Dict, find func(code, format string, args ...any)) Boxes {
	var b Boxes
	bad := map[pdfobj.Name]string{}
	read := func(key pdfobj.Name, given *bool) Rect {
		if page[key] == nil {
			return Rect{}
		}
		r, ok := readRect(doc, page[key])
		if !ok {
			bad[key] = fmt.Sprintf("the %s %s is not a rectangle with an area on a page", key, corners(doc, page[key]))
			return Rect{}
		}
		*given = true
		return r
	}
	b.Media = read("MediaBox", &b.Given.Media)
	if !b.Given.Media {
		b.Media = fallback
		if bad["MediaBox"] == "" {
			find(NoMediaBox, "the page has no MediaBox, and what it measures can't be known")
		}
	}
	within := func(key pdfobj.Name, given *bool, otherwise Rect) Rect {
		r := read(key, given)
		if !*given {
			return otherwise
		}
		cut := r.Intersect(b.Media)
		switch {
		case cut.Empty():
			*given = false
			bad[key] = fmt.Sprintf("the %s %s lies outside of the MediaBox", key, corners(doc, page[key]))
			return otherwise
		case !b.Media.Contains(r, boxTolerance) && key != "CropBox":
			find(BoxOutside, "the %s reaches beyond the MediaBox; it is cut to it", key)
		}
		return cut
	}
	b.Crop = within("CropBox", &b.Given.Crop, b.Media)
	b.Bleed = within("BleedBox", &b.Given.Bleed, b.Crop)
	b.Art = within("ArtBox", &b.Given.Art, b.Crop)
	b.Trim = within("TrimBox", &b.Given.Trim, b.Crop)
	for _, key := range []pdfobj.Name{"MediaBox", "TrimBox", "BleedBox", "ArtBox", "CropBox"} {
		switch {
		case bad[key] == "":
		case key == "ArtBox" && b.Given.Trim, key == "CropBox" && (b.Given.Trim || b.Given.Art) && b.Given.Bleed:
			find(BoxInvalid, "%s; it is ignored, because others say what it would", bad[key])
		default:
			find(BoxNonsense, "%s; what it should be is not guessed", bad[key])
		}
	}
	switch {
	case b.Given.Trim:
	case b.Given.Art:
		// PDF/X allows an ArtBox in place of the TrimBox.
		b.Trim = b.Art
		find(NoTrimBox, "the page has no TrimBox; its ArtBox is taken as the trim")
	case b.Given.Crop:
		find(NoTrimBox, "the page has no TrimBox; its CropBox is taken as the trim")
	default:
		find(NoTrimBox, "the page has no TrimBox; its MediaBox is taken as the trim")
	}
	if b.Given.Bleed && !b.Bleed.Contains(b.Trim, boxTolerance) {
		find(BleedInsideTrim, "the BleedBox doesn't hold the whole trim")
	}
	return b
}

// corners shows a box as the file has it.
func corners(doc *pdfobj.Document, o pdfobj.Object) string {
	v, err := doc.Resolve(o)
	if err != nil {
		return ""
	}
	text, err := pdfobj.AppendObject(nil, v)
	if err != nil || len(text) > 80 {
		return "of another kind"
	}
	return string(text)
}

// readRect reads a rectangle with any two opposite corners, 7.9.5.
func readRect(doc *pdfobj.Document, o pdfobj.Object) (Rect, bool) {
	v, ok := doc.Numbers(o)
	if !ok || len(v) < 4 {
		return Rect{}, false
	}
	for _, x := range v[:4] {
		if !(math.Abs(x) <= maxCoordinate) {
			return Rect{}, false
		}
	}
	r := Rect{min(v[0], v[2]), min(v[1], v[3]), max(v[0], v[2]), max(v[1], v[3])}
	// Less than a hundredth of a point is no page, only an overflow to come.
	return r, r.Width() >= boxTolerance && r.Height() >= boxTolerance
}

// readRotate returns the clockwise rotation of the page, 0, 90, 180 or 270.
func readRotate(doc *pdfobj.Document, o pdfobj.Object, find func(code, format string, args ...any)) int {
	if o == nil {
		return 0
	}
	v, ok := doc.Number(o)
	if turned := math.Mod(v, 360); ok && math.Mod(turned, 90) == 0 {
		return (int(turned) + 360) % 360
	}
	find(RotateInvalid, "the page's Rotate %s is not a multiple of 90; the page is not turned", written(doc, o))
	return 0
}

// readUserUnit returns the size of a user space unit in points.
func readUserUnit(doc *pdfobj.Document, o pdfobj.Object, find func(code, format string, args ...any)) float64 {
	if o == nil {
		return 1
	}
	v, ok := doc.Number(o)
	if ok && v >= 1e-3 && v <= 75_000 { // the limit of Annex C
		return v
	}
	find(UserUnitInvalid, "the page's UserUnit %s can't be; 1 is taken", written(doc, o))
	return 1
}

// written shows a simple object as people know it from PDF.
func written(doc *pdfobj.Document, o pdfobj.Object) string {
	v, err := doc.Resolve(o)
	if err != nil || v == nil {
		return "null"
	}
	switch v := v.(type) {
	case pdfobj.Name:
		return "/" + string(v)
	case pdfobj.Integer, pdfobj.Real, bool:
		return fmt.Sprint(v)
	case pdfobj.String:
		return fmt.Sprintf("(%.40s)", string(v))
	}
	return "of another kind"
}
