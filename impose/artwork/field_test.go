package artwork

import (
	"errors"
	"strings"
	"testing"

	"quoin/impose/witness"
)

// Form fields that print are placed, or stop the run (ISO 32000-1 12.7.2,
// 12.7.3.3: a viewer makes the appearance of a field that has none, or of all
// where NeedAppearances says so).
func TestFieldsNeverVanish(t *testing.T) {
	const rect = "/Subtype /Widget /F 4 /Rect [20 20 60 40]"
	shown := func(text string) string {
		return witness.Stream("/Subtype /Form /BBox [0 0 40 20] /Resources << /Font << /F 6 0 R >> >>", "BT /F 9 Tf "+text+" ET")
	}
	font := "<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>"
	parent := "<< /T (form) /FT /Tx /V (Inherited) /Kids [4 0 R] >>"
	for name, c := range map[string]struct {
		widget, form, picture, want string
	}{
		"value, no picture":            {rect + " /FT /Tx /T (total) /V (Hello)", "", "", FieldBare},
		"inherited value":              {rect + " /T (part) /Parent 7 0 R", "", "", FieldBare},
		"empty picture dictionary":     {rect + " /FT /Tx /V (Hello) /AP << >>", "", "", FieldBare},
		"choice":                       {rect + " /FT /Ch /Ff 131072 /V (a)", "", "", FieldBare},
		"list":                         {rect + " /FT /Ch /Opt [(a) (b)]", "", "", FieldBare},
		"tick":                         {rect + " /FT /Btn /AS /Yes", "", "", FieldBare},
		"no tick":                      {rect + " /FT /Btn /AS /Off", "", "", ""},
		"button":                       {rect + " /FT /Btn /Ff 65536 /MK << /CA (Send) >>", "", "", FieldBare},
		"box":                          {rect + " /FT /Tx /MK << /BC [1 0 0] >>", "", "", FieldBare},
		"empty field":                  {rect + " /FT /Tx /V ()", "", "", ""},
		"signature":                    {rect + " /FT /Sig", "", "", ""},
		"outside":                      {"/Subtype /Widget /F 4 /Rect [0 0 2 2] /FT /Tx /V (x)", "", "", ""},
		"hidden":                       {"/Subtype /Widget /F 6 /Rect [20 20 60 40] /FT /Tx /V (x)", "", "", ""},
		"screen only":                  {"/Subtype /Widget /Rect [20 20 60 40] /FT /Tx /V (x)", "", "", FieldOnScreen},
		"picture":                      {rect + " /FT /Tx /V (Hello) /AP << /N 5 0 R >>", "", "(Hello) Tj", AnnotationPrints + " " + FontMissing},
		"fresh":                        {rect + " /FT /Tx /V (Hello World) /AP << /N 5 0 R >>", "/NeedAppearances true", "[(Hel) -20 (lo)] TJ (World) '", AnnotationPrints + " " + FontMissing},
		"stale":                        {rect + " /FT /Tx /V (Hello) /AP << /N 5 0 R >>", "/NeedAppearances true", "(olleH) Tj", AnnotationPrints + " " + FieldStale + " " + FontMissing},
		"emptied":                      {rect + " /FT /Tx /AP << /N 5 0 R >>", "/NeedAppearances true", "(Hello) Tj", AnnotationPrints + " " + FieldStale + " " + FontMissing},
		"glyph codes that say nothing": {rect + " /FT /Tx /V (Hello) /AP << /N 5 0 R >>", "/NeedAppearances true", "<002B0048> Tj", AnnotationPrints + " " + FieldStale + " " + FontMissing},
		"exported":                     {rect + " /FT /Ch /Ff 131072 /Opt [[(de) (Germany)]] /V (de) /AP << /N 5 0 R >>", "/NeedAppearances true", "(Germany) Tj", AnnotationPrints + " " + FontMissing},
		"XFA drawn anew":               {rect + " /FT /Sig", "/XFA [(config) 8 0 R]", "", ActionsDropped + " " + FormXFA},
		"XFA beside its fields":        {rect + " /FT /Sig", "/XFA [(template) 8 0 R]", "", ActionsDropped},
	} {
		path := withCatalog(t, "/AcroForm << /Fields [4 0 R] "+c.form+" >>", "/Annots [4 0 R] /Resources << >>",
			"<< "+c.widget+" >>", shown(c.picture), font, parent,
			witness.Stream("", "<config><present><pdf><dynamicRender>required</dynamicRender></pdf></present></config>"))
		p := open(t, path, Options{})
		if got := codes(p, always...); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
			continue
		}
		faulty := strings.Contains(c.want, FieldBare) || strings.Contains(c.want, FieldStale) || strings.Contains(c.want, FormXFA)
		err := p.Unfit()
		var e *Error
		if (err != nil) != faulty || faulty && (!errors.As(err, &e) || e.Hint() == "" || e.Page != 1) {
			t.Errorf("%s: unfit: %v", name, err)
		}
	}
	p := open(t, withCatalog(t, "", "/Annots [4 0 R]", "<< "+rect+" /T (part) /Parent 5 0 R >>", parent), Options{})
	if got := p.Unfit().Error(); !strings.Contains(got, `"form.part" at [20 20 60 40] (its value)`) || !strings.Contains(got, "object 4") {
		t.Error(got)
	}
}

// Table 165: an annotation with NoRotate stays upright on a turned page, its
// upper left corner where it is. The matrices are worked out by hand: the
// corner is 20,40, and the appearance of 10 x 10 fills 40 x 20.
func TestNoRotate(t *testing.T) {
	picture := witness.Stream("/Subtype /Form /BBox [0 0 10 10] /Resources << >>", "0 1 0 0 k 0 0 10 10 re f")
	for rotate, want := range map[string]Matrix{
		"0":   {4, 0, 0, 2, 20, 20},
		"90":  {0, 4, -2, 0, 40, 40},
		"180": {-4, 0, 0, -2, 20, 60},
		"270": {0, -4, 2, 0, 0, 40},
	} {
		path := onePage(t, "/Rotate "+rotate+" /Annots [<< /Subtype /Stamp /F 20 /Rect [20 20 60 40] /AP << /N 4 0 R >> >>]", picture)
		p := open(t, path, Options{})
		if len(p.Appearances) != 1 || !fuzzyMatrix(p.Appearances[0].Matrix, want) {
			t.Errorf("turned by %s: %+v, want %v", rotate, p.Appearances, want)
		}
	}
}

// A report names what keeps the page from being placed first, and counts it.
func TestReportNamesFaults(t *testing.T) {
	path := onePage(t, "/Annots [<< /Subtype /Widget /F 4 /Rect [20 20 60 40] /FT /Tx /T (total) /V (Hello) >>]")
	f, err := Open(path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r, err := f.Report()
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	if err := r.Text(&text); err != nil {
		t.Fatal(err)
	}
	if got := text.String(); !strings.Contains(got, "can't be placed: 1 fault") || !strings.Contains(got, "Fault      form fields") || r.Warnings() == 0 {
		t.Error(got)
	}
}
