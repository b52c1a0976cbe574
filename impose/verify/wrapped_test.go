package verify_test

import (
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/pdfobj"
	"quoin/impose/witness"
)

// wrapping gives a frame of nine stations whose tiling pattern, which the page and
// a form paint with, stands in another one.
func wrapping(t *testing.T, turn geometry.Turn, resources string) (pdf, summary string) {
	t.Helper()
	j := small(witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [-10 -10 160 120] /TrimBox [0 0 150 110] /Contents 4 0 R /Resources 7 0 R >>",
		witness.Stream("", "/Pattern cs /P scn -9 -9 150 100 re f q 1 0 0 1 20 20 cm /X Do Q"),
		witness.Stream("/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 7.13 5.01] /XStep 7.13 /YStep 5.01 /Matrix [.9 .2 -.3 1.1 4 5] /Resources << >>", "0 1 0 0 k 0 0 3 3 re f"),
		witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 60 50] "+resources, "/Pattern cs /P scn 3 3 40 40 re f"),
		"<< /Pattern << /P 5 0 R >> /XObject << /X 6 0 R >> >>",
	), turn)
	j.Lanes, j.Rows = 3, 3
	return written(t, j)
}

// TestWrappedPatternsAreProved: in all turns, and whether a form has resources of
// its own, shares the page's or has none.
func TestWrappedPatternsAreProved(t *testing.T) {
	for turn := range geometry.Turn(4) {
		for _, resources := range []string{"/Resources << /Pattern << /P 5 0 R >> >>", "/Resources 7 0 R", ""} {
			pdf, summary := wrapping(t, turn, resources)
			if f := opened(t, pdf); strings.Count(string(f.unpack(f.page()["Contents"].(pdfobj.Ref).Num)), "/Art1S1 Do") != 9 {
				t.Errorf("%d degrees, %q: stations don't share a form", turn.Degrees(), resources)
			}
			if r := verified(t, pdf, summary); !r.Same {
				t.Errorf("%d degrees, %q: %+v", turn.Degrees(), resources, r.Differences)
			}
		}
	}
}

// TestBentWrappingIsFound damages the outer pattern and the inner one.
func TestBentWrappingIsFound(t *testing.T) {
	pdf, summary := wrapping(t, geometry.Turn0, "/Resources << /Pattern << /P 5 0 R >> >>")
	num := func(v pdfobj.Object, by float64) pdfobj.Object {
		switch v := v.(type) {
		case pdfobj.Integer:
			return pdfobj.Real(float64(v) + by)
		case pdfobj.Real:
			return v + pdfobj.Real(by)
		}
		t.Fatalf("%v is no number", v)
		return nil
	}
	for name, edit := range map[string]func(f *file, outer, inner pdfobj.Dict, o, i int){
		"the outer one moved by 2 um": func(_ *file, outer, _ pdfobj.Dict, _, _ int) {
			m := outer["Matrix"].(pdfobj.Array)
			m[4] = num(m[4], .0057)
		},
		"the inner one moved by 2 um": func(_ *file, _, inner pdfobj.Dict, _, _ int) {
			m := inner["Matrix"].(pdfobj.Array)
			m[5] = num(m[5], .0057)
		},
		"the inner one scaled": func(_ *file, _, inner pdfobj.Dict, _, _ int) {
			m := inner["Matrix"].(pdfobj.Array)
			m[0] = num(m[0], .0001)
		},
		"a cell that ends too soon":     func(_ *file, outer, _ pdfobj.Dict, _, _ int) { b := outer["BBox"].(pdfobj.Array); b[2] = num(b[2], -2) },
		"a cell that overlaps the next": func(_ *file, outer, _ pdfobj.Dict, _, _ int) { outer["XStep"] = num(outer["XStep"], -20) },
		"the inner one of other steps":  func(_ *file, _, inner pdfobj.Dict, _, _ int) { inner["XStep"] = num(inner["XStep"], .01) },
		"the inner one's content":       func(f *file, _, _ pdfobj.Dict, _, i int) { f.set(i, []byte("0 1 0 0 k 0 0 3 2 re f")) },
		"a fill of half of the cell": func(f *file, _, _ pdfobj.Dict, o, _ int) {
			f.set(o, []byte("/Pattern cs /Inner scn 0 0 50 50 re f"))
		},
		"more in the outer one": func(f *file, _, _ pdfobj.Dict, o, _ int) {
			f.set(o, append(f.unpack(o), "\n0 0 10 10 re f"...))
		},
		"a colour from elsewhere": func(_ *file, outer, _ pdfobj.Dict, _, _ int) { outer["PaintType"] = pdfobj.Integer(2) },
		"a form that grew": func(f *file, _, _ pdfobj.Dict, o, _ int) {
			form, _ := f.find(func(x pdfobj.Object) bool {
				d, ok := x.(pdfobj.Dict)
				b, _ := d["BBox"].(pdfobj.Array)
				return ok && d["Subtype"] == pdfobj.Object(pdfobj.Name("Form")) && len(b) == 4 && b[2] == pdfobj.Object(pdfobj.Integer(60))
			})
			form.(pdfobj.Dict)["BBox"].(pdfobj.Array)[2] = pdfobj.Integer(2000)
		},
	} {
		f := opened(t, pdf)
		outer, o := f.find(func(x pdfobj.Object) bool {
			d, ok := x.(pdfobj.Dict)
			return ok && d["PatternType"] != nil && f.get(d, "Resources", "Pattern", "Inner") != nil
		})
		ref := f.dict(outer, "Resources", "Pattern")["Inner"].(pdfobj.Ref)
		edit(f, outer.(pdfobj.Dict), f.dict(ref), o, ref.Num)
		if r := verified(t, f.save(), summary); r.Same {
			t.Errorf("%s isn't found", name)
		}
	}
}
