package witness

import "testing"

// Borrowing is a label whose black text stands in a form without resources, in
// a form with some; whose annotation's picture has none either, and whose
// layers nothing declares.
func Borrowing(t testing.TB) string {
	const form = "/Type /XObject /Subtype /Form /BBox [0 0 150 100] "
	return Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		`<< /Type /Page /Parent 2 0 R /MediaBox [0 0 150 100] /TrimBox [5 5 145 95] /BleedBox [0 0 150 100] /Rotate 90
			/Contents 4 0 R /Annots [10 0 R] /Resources << /XObject << /Outer 5 0 R >> /Font << /Page 8 0 R >> /Properties << /L 12 0 R >> >> >>`,
		Stream("", "/OC /L BDC 0 0 0 1 k 10 10 20 20 re f EMC /Outer Do"),
		Stream(form+"/Resources << /XObject << /Inner 6 0 R >> /Font << /F 8 0 R >> >>", "/Inner Do"),
		Stream(form, "BT /F 20 Tf 40 40 Td (DDD) Tj ET"),
		Stream("", ""),
		"<< /Type /Font /Subtype /Type3 /FontBBox [0 0 1 1] /FontMatrix [1 0 0 1 0 0] /FirstChar 68 /LastChar 68 /Widths [1] /Encoding << /Differences [68 /D] >> /CharProcs << /D 9 0 R >> /Resources << >> >>",
		Stream("", "1 0 0 0 1 1 d1 0 0 1 1 re f"),
		"<< /Type /Annot /Subtype /Stamp /F 20 /Rect [80 60 120 80] /AP << /N 11 0 R >> >>",
		Stream("/Subtype /Form /BBox [0 0 40 20]", "0 1 0 0 k 0 0 40 5 re f BT /Page 10 Tf 10 8 Td (D) Tj ET"),
		"<< /Type /OCMD /OCGs [13 0 R] >>", "<< /Type /OCG /Name (Nowhere) >>")
}
