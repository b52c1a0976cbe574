package conform_test

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/geometry/trials"
	"quoin/impose"
	"quoin/impose/artwork"
	"quoin/impose/conform"
	"quoin/impose/job"
	"quoin/impose/witness"
)

// sound are the objects of a document that keeps every rule.
func sound(t testing.TB) []string {
	t.Helper()
	profile, err := os.ReadFile("../../samples/artwork/demo-coated.icc")
	if err != nil {
		t.Fatal(err)
	}
	xmp := `<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:xmpMM="http://ns.adobe.com/xap/1.0/mm/"
 xmlns:pdf="http://ns.adobe.com/pdf/1.3/" xmlns:pdfxid="http://www.npes.org/pdfx/ns/id/" pdf:Trapped="False" xmp:CreateDate="2026-01-02T03:04:05Z">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">Hedge</rdf:li></rdf:Alt></dc:title>
<xmp:ModifyDate>2026-01-02T03:04:05Z</xmp:ModifyDate><xmp:MetadataDate>2026-01-02T03:04:05Z</xmp:MetadataDate>
<xmpMM:DocumentID>uuid:1</xmpMM:DocumentID><xmpMM:VersionID>1</xmpMM:VersionID><xmpMM:RenditionClass>default</xmpMM:RenditionClass>
<pdfxid:GTS_PDFXVersion>PDF/X-4</pdfxid:GTS_PDFXVersion></rdf:Description></rdf:RDF></x:xmpmeta>`
	ramp := "<< /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 1 0 0] >>"
	return []string{
		`<< /Type /Catalog /Pages 2 0 R /Metadata 5 0 R /OutputIntents [6 0 R] /OCProperties << /OCGs [8 0 R] /D << /Name (Set) /Order [8 0 R] >> >> >>`,
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		`<< /Type /Page /Parent 2 0 R /Contents 4 0 R /MediaBox [0 0 100 100] /BleedBox [2 2 98 98] /TrimBox [5 5 95 95]
/Group << /S /Transparency /I true /CS /DeviceCMYK >> /Resources << /ColorSpace << /S [/Separation /Plum /DeviceCMYK ` + ramp + `] >>
/Properties << /L 8 0 R >> /Font << /F 9 0 R >> /ExtGState << /G << /OP true /op true /OPM 1 >> >> >> >>`,
		witness.Stream("", "/OC /L BDC 0 0 0 1 k 10 10 20 20 re f EMC 0 g 10 40 20 20 re f /S cs 1 scn 40 10 20 20 re f /G gs 0 1 0 0 k 50 20 20 20 re f"),
		witness.Stream("/Type /Metadata /Subtype /XML", xmp),
		"<< /Type /OutputIntent /S /GTS_PDFX /OutputConditionIdentifier (Demo coated) /DestOutputProfile 7 0 R >>",
		witness.Stream("/N 4", string(profile)),
		"<< /Type /OCG /Name (Layer) >>",
		"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
	}
}

// built writes a document with an ID, which Handwritten gives none.
func built(t testing.TB, bodies []string, trailer string) string {
	t.Helper()
	path := witness.Handwritten(t, bodies...)
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(string(data), "trailer\n<< ", "trailer\n<< "+trailer+" ", 1)
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

func broken(t testing.TB, path string) (rules []string) {
	t.Helper()
	r, err := conform.File(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range r.Breaches {
		if !slices.Contains(rules, b.Rule) {
			rules = append(rules, b.Rule)
		}
	}
	if r.Holds != (len(rules) == 0) || len(r.Rules) != len(conform.Rules) {
		t.Errorf("report %+v", r)
	}
	return rules
}

const id = "/ID [<00> <00>]"

// TestAClaimIsWhatIsChecked: a file is looked through where it carries the marker or
// is said to, and not where nobody says so.
func TestAClaimIsWhatIsChecked(t *testing.T) {
	plain := sound(t)
	plain[4] = strings.Replace(plain[4], ">PDF/X-4<", ">PDF/A-2<", 1)
	carries, bare := built(t, append(sound(t), "<< >>"), ""), built(t, plain, id)
	for _, c := range []struct{ path, marker, rule string }{
		{carries, "", conform.Identity}, {carries, "PDF/X-4", conform.Identity}, {bare, "PDF/X-4", conform.Marker}, {bare, "", ""},
	} {
		r, err := conform.Claim(t.Context(), c.path, c.marker)
		if err != nil {
			t.Fatal(err)
		}
		against := r.Against(c.marker)
		if (r == nil) != (c.rule == "") || slices.ContainsFunc(against, func(b conform.Breach) bool { return b.Rule == c.rule }) != (c.rule != "") {
			t.Errorf("said to be %q: %v", c.marker, against)
		}
	}
}

func TestASoundDocumentKeepsEveryRule(t *testing.T) {
	if got := broken(t, built(t, sound(t), id)); len(got) > 0 {
		t.Errorf("broken: %q", got)
	}
}

// TestEveryRuleIsBroken breaks one thing at a time.
func TestEveryRuleIsBroken(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range []struct {
		name, rule string
		object     int // from 1
		old, new   string
	}{
		{"no marker", conform.Marker, 5, "<pdfxid:GTS_PDFXVersion>PDF/X-4</pdfxid:GTS_PDFXVersion>", ""},
		{"another marker", conform.Marker, 5, ">PDF/X-4<", ">PDF/X-3:2003<"},
		{"no title", conform.Metadata, 5, "Hedge", ""},
		{"no date", conform.Metadata, 5, `xmp:CreateDate="2026-01-02T03:04:05Z"`, ""},
		{"no version", conform.Metadata, 5, "<xmpMM:VersionID>1</xmpMM:VersionID>", ""},
		{"no metadata", conform.Metadata, 1, "/Metadata 5 0 R", ""},
		{"metadata that is no XML", conform.Metadata, 5, "</x:xmpmeta>", "<"},
		{"trapping unknown", conform.Trapped, 5, `pdf:Trapped="False"`, `pdf:Trapped="Unknown"`},
		{"no trapping", conform.Trapped, 5, `pdf:Trapped="False"`, ""},
		{"a newer PDF", conform.Features, 1, "/Type /Catalog", "/Type /Catalog /Version /1.7"},
		{"LZW", conform.Features, 3, "/Contents 4 0 R", "/Contents 10 0 R"},
		{"no output intent", conform.Intent, 1, "/OutputIntents [6 0 R]", ""},
		{"two output intents", conform.Intent, 1, "[6 0 R]", "[6 0 R 6 0 R]"},
		{"no identifier", conform.Intent, 6, "/OutputConditionIdentifier (Demo coated)", ""},
		{"no profile", conform.Intent, 6, "/DestOutputProfile 7 0 R", ""},
		{"a profile of a screen", conform.Intent, 7, "prtrCMYK", "mntrRGB "},
		{"no profile, and device colours", conform.DeviceColour, 6, "/DestOutputProfile 7 0 R", ""},
		{"RGB", conform.DeviceColour, 4, "0 0 0 1 k", "1 0 0 rg"},
		{"a spot that looks like RGB", conform.DeviceColour, 3, "/Plum /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 1 0 0] >>", "/Plum /DeviceRGB << /FunctionType 2 /N 1 /Domain [0 1] /C0 [1 1 1] /C1 [1 0 0] >>"},
		{"a group in RGB", conform.Groups, 3, "/CS /DeviceCMYK", "/CS /DeviceRGB"},
		{"no trim", conform.Boxes, 3, "/TrimBox [5 5 95 95]", ""},
		{"trim and art", conform.Boxes, 3, "/TrimBox", "/ArtBox [5 5 95 95] /TrimBox"},
		{"trim beyond the bleed", conform.Boxes, 3, "/TrimBox [5 5 95 95]", "/TrimBox [0 0 95 95]"},
		{"bleed beyond the media", conform.Boxes, 3, "/BleedBox [2 2", "/BleedBox [-2 2"},
		{"a font that is not embedded", conform.Fonts, 4, "0 g", "BT /F 9 Tf 20 20 Td (a) Tj ET 0 g"},
		{"CMYK of the intent's profile", conform.Profiles, 3, "/ColorSpace << /S [/Separation /Plum /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 1 0 0] >>]", "/ColorSpace << /S [/ICCBased 7 0 R]"},
		{"a name that is not UTF-8", conform.Spots, 3, "/Plum", "/Pl#FCm"},
		{"one name, two looks", conform.Spots, 3, "/ColorSpace <<", "/ColorSpace << /T [/Separation /Plum /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [1 0 0 0] >>]"},
		{"a transfer function", conform.Device, 3, "/OPM 1", "/OPM 1 /TR << /FunctionType 2 /N 1 /Domain [0 1] >>"},
		{"an annotation", conform.Interaction, 3, "/Contents", "/Annots [<< /Subtype /Square /Rect [10 10 20 20] >>] /Contents"},
		{"an action of the page", conform.Interaction, 3, "/Contents", "/AA << >> /Contents"},
		{"an action of the document", conform.Interaction, 1, "/Pages", "/OpenAction << /S /JavaScript >> /Pages"},
		{"scripts", conform.Interaction, 1, "/Pages", "/Names << /JavaScript << >> >> /Pages"},
		{"layers that switch by themselves", conform.Layers, 1, "/Name (Set)", "/Name (Set) /AS []"},
		{"states without a name", conform.Layers, 1, "/Name (Set)", ""},
		{"two sets of one name", conform.Layers, 1, "/D <<", "/Configs [<< /Name (Set) >>] /D <<"},
		{"a layer in no list", conform.Layers, 1, "/Order [8 0 R]", "/Order []"},
		{"printing tied to the trim", conform.Views, 1, "/Pages", "/ViewerPreferences << /PrintArea /TrimBox >> /Pages"},
		{"a page that is too long", conform.Size, 3, "/MediaBox [0 0 100 100]", "/MediaBox [0 0 100 14401]"},
		{"content in an unknown colour", conform.Readable, 4, "/S cs", "/Nowhere cs"},
	} {
		bodies := append(sound(t), witness.Stream("/Filter /LZWDecode", "\x80\x0b\x60\x50\x22\x0c\x0c\x85\x01"))
		if c.name == "one name, two looks" {
			bodies[3] = witness.Stream("", "/S cs 1 scn 40 10 20 20 re f /T cs 1 scn 40 10 20 20 re f")
		}
		before := bodies[c.object-1]
		bodies[c.object-1] = strings.Replace(before, c.old, c.new, 1)
		if bodies[c.object-1] == before {
			t.Fatalf("%s changes nothing", c.name)
		}
		if got := broken(t, built(t, bodies, id)); !slices.Contains(got, c.rule) {
			t.Errorf("%s: broken %q, want %s", c.name, got, c.rule)
		}
		seen[c.rule] = true
	}
	if got := broken(t, built(t, sound(t), "")); !slices.Equal(got, []string{conform.Identity}) {
		t.Errorf("no ID: %q", got)
	}
	seen[conform.Identity] = true
	for _, r := range conform.Rules {
		if !seen[r.Name] {
			t.Errorf("no test breaks %s", r.Name)
		}
	}
}

func TestTheInformationMustAgree(t *testing.T) {
	for _, info := range []string{"/Title (Other)", "/Trapped /True", "/ModDate (D:20260102030406Z)"} {
		bodies := append(sound(t), "<< "+info+" >>")
		if got := broken(t, built(t, bodies, id+" /Info 10 0 R")); !slices.Equal(got, []string{conform.Metadata}) {
			t.Errorf("%s: broken %q", info, got)
		}
	}
}

func TestEncryptionIsABreach(t *testing.T) {
	if got := broken(t, "../../testdata/placing/encrypted-open.pdf"); !slices.Contains(got, conform.Identity) {
		t.Errorf("broken %q", got)
	}
}

func TestAFileThatIsNoPDF(t *testing.T) {
	var bad *artwork.Error
	if _, err := conform.File(context.Background(), "rules_test.go"); !errors.As(err, &bad) {
		t.Errorf("error %v", err)
	}
}

// TestWhatIsWrittenKeepsItsWord imposes every artwork of the repository that
// can be placed: a file carries the marker exactly where the check of the whole
// file finds nothing else against it.
func TestWhatIsWrittenKeepsItsWord(t *testing.T) {
	var files []string
	for _, pattern := range []string{"../../samples/artwork/*.pdf", "../../testdata/artwork/*.pdf", "../../testdata/placing/*.pdf"} {
		found, _ := filepath.Glob(pattern)
		files = append(files, found...)
	}
	marked := 0
	for i, path := range files {
		if !trials.Long() && i > 2 && i%5 != 0 {
			continue
		}
		j := job.New()
		j.WebWidth, j.Lanes, j.Rows, j.Repeat.Longest = 900_000_000, 1, 1, 2_000_000_000
		j.Artworks = []job.Artwork{{File: path, Page: 1, Quantity: 10}}
		j.Output = job.OutputIntent{Condition: "Demo coated", Profile: must(filepath.Abs("../../samples/artwork/demo-coated.icc")), Conflict: job.Warn}
		im, err := impose.Open(context.Background(), j)
		if err != nil {
			continue // encrypted
		}
		out := filepath.Join(t.TempDir(), "out.pdf")
		f, err := os.Create(out)
		if err == nil {
			err = im.WritePDF(context.Background(), f)
		}
		if err != nil {
			t.Fatal(err)
		}
		f.Close()
		s, err := im.Summary(impose.Written{Pages: 1})
		if err != nil {
			t.Fatal(err)
		}
		im.Close()
		r, err := conform.File(context.Background(), out)
		if err != nil {
			t.Fatal(err)
		}
		if claimed := s.Written.Marker != ""; claimed != r.Claimed || claimed != r.Holds {
			t.Errorf("%s: marker %q, held %t; planned %v, found %v", filepath.Base(path), s.Written.Marker, r.Holds, shown(t, s.Written.Breaches), shown(t, r.Breaches))
		}
		if r.Holds {
			marked++
		}
	}
	if marked < 3 {
		t.Errorf("only %d files carry the marker", marked)
	}
}

func must(path string, err error) string {
	if err != nil {
		panic(err)
	}
	return path
}

func shown(t *testing.T, v any) string {
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
