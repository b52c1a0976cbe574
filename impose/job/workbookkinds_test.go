package job

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// bare makes a workbook of one sheet as the smallest of exporters write it: no
// styles, no shared texts, and cells without their names.
func bare(t *testing.T, rows ...string) string {
	t.Helper()
	const rel = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	const main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range [][2]string{
		{"[Content_Types].xml", `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/s.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>`},
		{"_rels/.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="a" Type="` + rel + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", `<workbook xmlns="` + main + `" xmlns:r="` + rel + `"><sheets><sheet name="Data" sheetId="1" r:id="a"/></sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="a" Type="` + rel + `/worksheet" Target="s.xml"/></Relationships>`},
		{"xl/s.xml", `<worksheet xmlns="` + main + `"><sheetData><row>` + strings.Join(rows, "</row><row>") + `</row></sheetData></worksheet>`},
	} {
		w, err := z.Create(f[0])
		if err == nil {
			_, err = fmt.Fprint(w, f[1])
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// words gives cells that hold texts.
func words(texts ...string) string {
	return `<c t="inlineStr"><is><t>` + strings.Join(texts, `</t></is></c><c t="inlineStr"><is><t>`) + `</t></is></c>`
}

// TestWorkbookKinds reads workbooks as other programs than the usual ones write them,
// and says of files that are none what they are.
func TestWorkbookKinds(t *testing.T) {
	var locked bytes.Buffer
	f := excelize.NewFile()
	defer f.Close()
	rowsOf(f, "Sheet1", []any{"order", "quantity"}, []any{"A", 1500})
	if err := f.Write(&locked, excelize.Options{Password: "secret"}); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct{ text, want string }{
		"no styles":      {bare(t, words("order", "quantity", "due"), words("A")+"<c><v>1.5E3</v></c>"+words("02.03.2026")), "A*1500 2026-03-02"},
		"a day in words": {bare(t, words("order", "quantity", "due"), words("A")+`<c><v>1500</v></c><c t="d"><v>2026-03-02T00:00:00.000</v></c>`), "A*1500 2026-03-02"},
		// What spreadsheets store of 2400*1.1 and of 1500-1e-13, and show as whole numbers.
		"more digits than are shown": {bare(t, words("order", "quantity"), words("A")+"<c><v>2640.0000000000005</v></c>", words("B")+"<c><v>1499.9999999999998</v></c>", words("C")+"<c><v>1500.0000000001</v></c>"),
			"A*2640\nB*1500\n@4:2 C cell B4: quantity: \"1500.0000000001\" is not a whole number"},
		"a sum below a table": {bare(t, words("order", "quantity"), words("A")+"<c><v>1500</v></c>", words("Ergebnis")+"<c><v>1600</v></c>"), "A*1500\n!3 cell A3: a sum of 1,600, not an order: passed over, though the rows above it order 1,500"},
		"lines around empty rows": {book(t, func(f *excelize.File) {
			rowsOf(f, "Sheet1", []any{"order", "quantity"}, []any{"A", 1500}, []any{}, []any{"B", 6})
			box, _ := f.NewStyle(&excelize.Style{Border: []excelize.Border{{Type: "left", Style: 1}}})
			f.SetCellStyle("Sheet1", "A1048576", "B1048576", box)
		}), "A*1500\nB*6"},
		"an order below any list's end": {book(t, func(f *excelize.File) {
			rowsOf(f, "Sheet1", []any{"order", "quantity"}, []any{"A", 1500})
			f.SetSheetRow("Sheet1", "A1048576", &[]any{"B", 6})
		}), `@0:0  can't be read as a workbook: sheet "Sheet1": it has more rows`},
		"locked":   {locked.String(), "@0:0  is a workbook locked with a password (open it in a spreadsheet and save it without"},
		"the old":  {"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 and more", "@0:0  is a workbook of the old kind, .xls (open"},
		"open":     {zipped(t, "mimetype", "application/vnd.oasis.opendocument.spreadsheet"), "@0:0  is an OpenDocument file, such as .ods (open"},
		"binary":   {zipped(t, "xl/workbook.bin", "\x83\x01\x00"), "@0:0  is a workbook in binary form, .xlsb (open"},
		"a letter": {zipped(t, "word/document.xml", "<document/>"), "@0:0  is no workbook but another document"},
	} {
		if other := told(t, OrderForm{}, "o.csv", c.text); other != told(t, OrderForm{}, "o.xlsx", c.text) {
			t.Errorf("%s: by another name %s", name, other)
		}
		got := strings.Split(told(t, OrderForm{}, "o.xlsx", c.text), "\n")
		for i, w := range strings.Split(c.want, "\n") {
			if i >= len(got) || !strings.HasPrefix(got[i], w) {
				t.Errorf("%s: line %d of\n%s\nwant\n%s", name, i+1, strings.Join(got, "\n"), w)
			}
		}
	}
}
