package artwork

import (
	"bytes"
	"os"
	"testing"

	"quoin/impose/pdfobj"
	"quoin/impose/witness"
)

// FuzzContent scans any bytes as the content of a page that has spots, forms,
// patterns, fonts and layers to call. Whatever stands there, the scan ends,
// and its report holds together.
func FuzzContent(f *testing.F) {
	for _, c := range cases {
		f.Add([]byte(c.content))
	}
	for _, seed := range []string{
		"/F Do /G Do /P Do", "/Pattern cs /T scn 0 0 50 50 re f", "BT /Three 9 Tf (ab) Tj ET", "/OC /L BDC EMC /M gs 0 0 9 9 re f",
		"BI /W 1 /H 1 /CS /Plum /BPC 8 ID x EI", "1e38 0 0 1e38 1e38 0 cm /F Do", "/S sh",
	} {
		f.Add([]byte(seed))
	}
	resources := `/XObject << /F 9 0 R /G 10 0 R >> /Pattern << /T 11 0 R >> /Font << /Three 12 0 R >>
		/Properties << /L 13 0 R >> /ExtGState << /M << /SMask << /S /Alpha /G 9 0 R >> >> >>
		/Shading << /S << /ShadingType 2 /ColorSpace /DeviceCMYK /Function 5 0 R >> >>`
	path := painted(f, resources, "%content%",
		witness.Stream(form+"/Resources << /XObject << /F 10 0 R >> >>", "1 0 0 0 k"+box+"/F Do"),
		witness.Stream(form+"/Resources << /XObject << /F 9 0 R >> >> /Group << /S /Transparency /I true /CS /DeviceRGB >>", "/F Do"+box),
		witness.Stream("/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 9 9] /XStep 9 /YStep 9 /Resources << >>", "0 0 5 5 re f"),
		"<< /Type /Font /Subtype /Type3 /FontMatrix [1 0 0 1 0 0] /CharProcs << /a 9 0 R >> /Encoding << /Differences [97 /a /a] >> >>",
		"<< /Type /OCG /Name (L) >>")
	file, err := os.ReadFile(path)
	if err != nil {
		f.Fatal(err)
	}
	doc, err := pdfobj.Open(bytes.NewReader(file), int64(len(file)), pdfobj.Limits{})
	if err != nil {
		f.Fatal(err)
	}
	source, err := doc.Page(0)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, content []byte) {
		page := *source
		page.Dict = source.Dict.Clone()
		page.Dict["Contents"] = pdfobj.NewStream(pdfobj.Dict{}, content)
		p, err := readPage(&File{Doc: doc, pages: 1, layers: readLayers(doc), opt: Options{Operators: 100_000}}, &page, 1)
		if err != nil {
			t.Fatal(err)
		}
		used := map[string]bool{}
		for _, u := range p.Inks {
			if used[u.Name] || u.Name == "" || u.State == "" {
				t.Errorf("%+v", u)
			}
			used[u.Name] = true
		}
		var b bytes.Buffer
		r := Report{Schema: ReportSchema, PageCount: 1, Pages: []PageReport{p.Report()}}
		if err := r.JSON(&b); err != nil {
			t.Error(err)
		}
		if err := r.Text(&b); err != nil {
			t.Error(err)
		}
	})
}
