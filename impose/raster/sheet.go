package raster

import (
	"github.com/klippa-app/go-pdfium/requests"
)

// Light is the light in which a sheet is seen: a part of the colours on it.
type Light int

// The lights. A plate, which is grey, is the same in each.
const (
	Green Light = iota
	Red
	Blue
)

// byteOf gives the byte of a pixel that a light falls on: blue, green, red.
func (l Light) byteOf() int { return [...]int{Green: 1, Red: 2, Blue: 0}[l] }

// In has the sheet seen in a light; at first it is green.
func (s *Sheet) In(l Light) { s.light = l }

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
