package artwork

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/witness"
)

// rich is a label with one of nearly everything.
func rich(t testing.TB) string {
	t.Helper()
	catalog := "/OCProperties << /OCGs [9 0 R 10 0 R] /D << /OFF [10 0 R] >> >> /OutputIntents [<< /Type /OutputIntent /S /GTS_PDFX /OutputConditionIdentifier (Hollow press, film) >>]"
	page := `/Rotate 90 /MediaBox [0 0 240.945 170.079] /BleedBox [9.921 9.921 231.024 160.157] /TrimBox [14.173 14.173 226.772 155.906]
		/Group << /S /Transparency /CS /DeviceCMYK /I true >> /Contents 4 0 R
		/Resources << ` + spots + ` /Properties << /Cut 9 0 R /Notes 10 0 R >> /Font << /F 11 0 R /G 12 0 R >> /XObject << /I 13 0 R /M 14 0 R >> >>`
	content := `/White cs 1 scn 10 10 220 150 re f
		/Over gs 0 .2 .9 0 k 10 10 220 150 re f /Plum cs 1 scn 50 50 60 60 re f
		0 0 0 1 k BT /F 12 Tf 60 120 Td (Pear) Tj /G 9 Tf (juice) Tj ET
		q 60 0 0 40 120 60 cm /I Do Q q 20 0 0 20 30 30 cm /M Do Q
		/OC /Cut BDC /Die CS .25 w 14.173 14.173 212.6 141.733 re S EMC
		/OC /Notes BDC /Fern cs 1 scn 20 20 30 30 re f EMC
		/Half gs 0 0 .1 0 k 30 100 10 10 re f`
	return withCatalog(t, catalog, page, slices.Concat([]string{witness.Stream("", content)}, transforms, []string{
		"<< /Type /OCG /Name (Die line) /GTS_Metadata << /GTS_ProcStepsGroup /Structural /GTS_ProcStepsType /Cutting >> >>",
		"<< /Type /OCG /Name (Notes) >>",
		"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
		"<< /Type /Font /Subtype /TrueType /BaseFont /ABCDEF+Orchard /FontDescriptor << /Type /FontDescriptor /FontFile2 15 0 R >> >>",
		witness.Stream("/Subtype /Image /Width 60 /Height 40 /BitsPerComponent 8 /ColorSpace /DeviceGray", strings.Repeat("\x80", 2400)),
		witness.Stream("/Subtype /Image /Width 320 /Height 320 /ImageMask true /BitsPerComponent 1", strings.Repeat("\x0f", 12800)),
		witness.Stream("/Length1 4", "true"),
	})...)
}

// golden compares with a file of testdata, or writes it with UPDATE=1; read
// the diff then.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs (UPDATE=1 rewrites it):\n%s", path, got)
	}
}

func TestReport(t *testing.T) {
	f, err := Open(rich(t), Options{Bleed: 2 * geometry.Millimetre})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r, err := f.Report()
	if err != nil {
		t.Fatal(err)
	}
	r.File = "pear.pdf"
	var text, script bytes.Buffer
	if err := r.Text(&text); err != nil {
		t.Fatal(err)
	}
	if err := r.JSON(&script); err != nil {
		t.Fatal(err)
	}
	golden(t, "report.txt", text.Bytes())
	golden(t, "report.json", script.Bytes())
}

// The keys that scripts may rely on.
func TestReportContract(t *testing.T) {
	f, err := Open(onePage(t, ""), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r, err := f.Report(1)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := r.JSON(&b); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Schema string
		Pages  []map[string]any
	}
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	if got.Schema != ReportSchema || len(got.Pages) != 1 {
		t.Fatalf("%+v", got)
	}
	for _, key := range []string{"trim_mm", "bleed_mm", "media_mm", "rotation_deg", "inks", "layers", "fonts", "images", "findings"} {
		v, ok := got.Pages[0][key]
		if !ok || v == nil {
			t.Errorf("no %s", key) // an empty list is [], not null
		}
	}
	if got, want := fmt.Sprint(got.Pages[0]["trim_mm"]), "[28.222222 14.111111]"; got != want {
		t.Errorf("trim_mm %s, want %s", got, want)
	}
	if _, err := f.Report(1, 2); err == nil {
		t.Error("a report of a page that isn't there")
	}
}

func TestReportOfSeveralPages(t *testing.T) {
	f, err := Open("../../testdata/placing/pages-three.pdf", Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r, err := f.Report(3, 1)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := r.Text(&b); err != nil {
		t.Fatal(err)
	}
	head, _, _ := strings.Cut(b.String(), "\n")
	if !strings.HasSuffix(head, "pages-three.pdf: 3 pages, 6 warnings") && !strings.Contains(head, ": 3 pages, ") {
		t.Error(head)
	}
	if i, j := strings.Index(b.String(), "Page 3:"), strings.Index(b.String(), "Page 1:"); i < 0 || j < i {
		t.Error(b.String())
	}
}
