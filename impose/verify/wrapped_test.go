package verify_test

import (
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/pdfobj"
	"quoin/impose/witness"
)

// wrapping gives a frame of nine stations whose tiling pattern, which the page and
// a form paint with, gives way to a large one.
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

// TestBentWrappingIsFound damages the large pattern, its rows and its cells.
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
	type parts struct {
		*file
		large, row, cell          pdfobj.Dict
		largeNum, rowNum, cellNum int
	}
	text := func(p parts, num int, edit func(string) string) {
		before := string(p.unpack(num))
		if edit(before) == before {
			t.Fatal("the edit changed nothing")
		}
		p.set(num, []byte(edit(before)))
	}
	for name, edit := range map[string]func(p parts){
		"the large one moved by 2 um":   func(p parts) { m := p.large["Matrix"].(pdfobj.Array); m[4] = num(m[4], .0057) },
		"a cell that ends too soon":     func(p parts) { b := p.large["BBox"].(pdfobj.Array); b[2] = num(b[2], -2) },
		"a cell that overlaps the next": func(p parts) { p.large["XStep"] = num(p.large["XStep"], -20) },
		"a colour from elsewhere":       func(p parts) { p.large["PaintType"] = pdfobj.Integer(2) },
		"the small one's box":           func(p parts) { b := p.cell["BBox"].(pdfobj.Array); b[2] = num(b[2], -.1) },
		"the small one's content":       func(p parts) { p.set(p.cellNum, []byte("0 1 0 0 k 0 0 3 2 re f")) },
		"the small one grouped":         func(p parts) { p.cell["Group"] = pdfobj.Dict{"S": pdfobj.Name("Transparency")} },
		"cells scaled": func(p parts) {
			text(p, p.largeNum, func(s string) string { return strings.Replace(s, "0.9 ", "0.9001 ", 1) })
		},
		"a cell moved by 2 um": func(p parts) {
			text(p, p.rowNum, func(s string) string { return strings.Replace(s, " 7.13 0 cm", " 7.1357 0 cm", 1) })
		},
		"a row moved by a step": func(p parts) {
			text(p, p.largeNum, func(s string) string { return strings.Replace(s, " 0 5.01 cm", " 0 10.02 cm", 1) })
		},
		"a row without its last cells": func(p parts) {
			text(p, p.rowNum, func(s string) string {
				list := strings.SplitAfter(s, "Q\n")
				return strings.Join(list[:len(list)-6], "")
			})
		},
		"a row that is cut off": func(p parts) { b := p.row["BBox"].(pdfobj.Array); b[2] = num(b[2], -20) },
		"a row that is turned": func(p parts) {
			p.row["Matrix"] = pdfobj.Array{pdfobj.Integer(0), pdfobj.Integer(1), pdfobj.Integer(-1), pdfobj.Integer(0), pdfobj.Integer(0), pdfobj.Integer(0)}
		},
		"more in the large one": func(p parts) { p.set(p.largeNum, append(p.unpack(p.largeNum), "\n0 0 10 10 re f"...)) },
		"a form that grew": func(p parts) {
			form, _ := p.find(func(x pdfobj.Object) bool {
				d, ok := x.(pdfobj.Dict)
				b, _ := d["BBox"].(pdfobj.Array)
				return ok && d["Subtype"] == pdfobj.Object(pdfobj.Name("Form")) && len(b) == 4 && b[2] == pdfobj.Object(pdfobj.Integer(60))
			})
			form.(pdfobj.Dict)["BBox"].(pdfobj.Array)[2] = pdfobj.Integer(2000)
		},
	} {
		p := parts{file: opened(t, pdf)}
		large, n := p.find(func(x pdfobj.Object) bool {
			d, ok := x.(pdfobj.Dict)
			return ok && d["PatternType"] != nil && p.get(d, "Resources", "XObject", "Row") != nil
		})
		p.large, p.largeNum = large.(pdfobj.Dict), n
		row := p.dict(large, "Resources", "XObject")["Row"].(pdfobj.Ref)
		p.row, p.rowNum = p.dict(row), row.Num
		cell := p.dict(row, "Resources", "XObject")["Cell"].(pdfobj.Ref)
		p.cell, p.cellNum = p.dict(cell), cell.Num
		edit(p)
		if r := verified(t, p.save(), summary); r.Same {
			t.Errorf("%s isn't found", name)
		}
	}
}
