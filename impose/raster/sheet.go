package raster

import (
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
)

// Light is the light in which parts of a sheet are seen. A plate, which is grey, is
// the same in each.
type Light int

// The lights.
const (
	White Light = iota
	Red
)

// In has parts of the sheet drawn as they are seen in a light; at first it is white.
func (s *Sheet) In(l Light) { s.light = l }

// seen returns what a bitmap of colours shows in the sheet's light.
func (s *Sheet) seen(b references.FPDF_BITMAP, grey []byte) error {
	bgra, err := s.pixels(b)
	if err != nil {
		return err
	}
	for i := range grey {
		blue, green, red := int(bgra[4*i]), int(bgra[4*i+1]), int(bgra[4*i+2])
		if s.light == Red {
			grey[i] = byte(red)
		} else { // as the renderer makes grey of colours; that of grey is the same
			grey[i] = byte((11*blue + 59*green + 30*red) / 100)
		}
	}
	return nil
}

// Hide takes off the sheet what stands on a layer of a name, as long as it is open:
// that is how what overprints is seen by a renderer that lets it cover all beneath.
func (s *Sheet) Hide(layer string) error {
	pdfium, page := s.r.instance, requests.Page{ByReference: &s.page}
	n, err := pdfium.FPDFPage_CountObjects(&requests.FPDFPage_CountObjects{Page: page})
	if err != nil {
		return greyError(err)
	}
	for i := range n.Count {
		o, err := pdfium.FPDFPage_GetObject(&requests.FPDFPage_GetObject{Page: page, Index: i})
		if err != nil {
			return greyError(err)
		}
		marks, err := pdfium.FPDFPageObj_CountMarks(&requests.FPDFPageObj_CountMarks{PageObject: o.PageObject})
		if err != nil {
			return greyError(err)
		}
		for k := range marks.Count {
			m, err := pdfium.FPDFPageObj_GetMark(&requests.FPDFPageObj_GetMark{PageObject: o.PageObject, Index: uint64(k)})
			if err != nil {
				return greyError(err)
			}
			// A mark without a name is an error, and no layer.
			name, err := pdfium.FPDFPageObjMark_GetParamStringValue(&requests.FPDFPageObjMark_GetParamStringValue{PageObjectMark: m.Mark, Key: "Name"})
			if err != nil || name.Value != layer {
				continue
			}
			if _, err := pdfium.FPDFPageObj_SetIsActive(&requests.FPDFPageObj_SetIsActive{PageObject: o.PageObject}); err != nil {
				return greyError(err)
			}
		}
	}
	return nil
}
