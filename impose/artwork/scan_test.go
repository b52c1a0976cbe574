package artwork

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/impose/ink"
	"quoin/impose/pdfobj"
	"quoin/impose/witness"
)

// spots are resources with some spots: Plum and Fern, a DeviceN of both with
// black, and Plum as a palette. Objects 5 to 7 are their tint transforms.
const spots = `/ColorSpace <<
	/Plum [/Separation /Plum /DeviceCMYK 5 0 R] /Fern [/Separation /Fern#20Green /DeviceCMYK 5 0 R]
	/White [/Separation /White /DeviceCMYK 6 0 R] /Die [/Separation /Die#20Line /DeviceCMYK 5 0 R]
	/All [/Separation /All /DeviceCMYK 5 0 R] /None [/Separation /None /DeviceCMYK 5 0 R]
	/Two [/DeviceN [/Plum /Black] /DeviceCMYK 7 0 R] /Three [/DeviceN [/None /Cyan /Fern#20Green] /DeviceCMYK 8 0 R]
	/Palette [/Indexed [/Separation /Plum /DeviceCMYK 5 0 R] 1 <00ff>]
	/Greys [/Indexed /DeviceCMYK 1 <00000000 000000ff>] /Tiles [/Pattern /DeviceCMYK] /PlumTiles [/Pattern [/Separation /Plum /DeviceCMYK 5 0 R]] >>
	/ExtGState << /Over << /OP true /op true /OPM 1 >> /Multiply << /BM /Multiply >> /Half << /ca .5 >> >>`

var transforms = []string{
	"<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [.2 .9 0 .3] /N 1 >>",
	"<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 0 0 0] /N 1 >>",
	witness.Stream("/FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{ exch dup .2 mul exch dup .9 mul exch pop 0 4 -1 roll }"),
	witness.Stream("/FunctionType 4 /Domain [0 1 0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{ 3 1 roll exch pop 0 3 -1 roll 0 }"),
}

// painted writes a page with the content and resources; more objects follow
// from 9 on.
func painted(t testing.TB, resources, content string, more ...string) string {
	t.Helper()
	return onePage(t, "/Contents 4 0 R /Resources << "+spots+" "+resources+" >>",
		slices.Concat([]string{witness.Stream("", content)}, transforms, more)...)
}

// inkList shows the inks as "Black Plum(text) White[outside]"; process inks
// and spots alike, with where they are used.
func inkList(p *Page) string {
	var list []string
	for _, u := range p.Inks {
		s := u.Name
		if u.State != Used {
			s += "[" + string(u.State) + "]"
		}
		list = append(list, s)
	}
	return strings.Join(list, ", ")
}

const (
	box  = " 20 20 40 20 re f "
	form = "/Type /XObject /Subtype /Form /BBox [0 0 100 60] "
)

// cases are contents with the inks that they put on a plate within the bleed
// box; TestInksAreThosePlates proves the lists with Ghostscript.
var cases = []struct {
	name, resources, content string
	more                     []string
	inks                     string // of those that print
}{
	{"nothing", "", "", nil, ""},
	{"black by default", "", box, nil, "Black"},
	{"gray", "", ".5 g" + box, nil, "Black"},
	{"white gray", "", "1 g" + box, nil, ""},
	{"black alone", "", "0 0 0 1 k" + box, nil, "Black"},
	{"two of four", "", "1 0 .5 0 k" + box, nil, "Cyan, Yellow"},
	{"no ink", "", "0 0 0 0 k" + box, nil, ""},
	{"cs sets black", "", "/DeviceCMYK cs" + box, nil, "Black"},
	{"set but never painted", "", "1 0 0 0 k 20 20 40 20 re n", nil, ""},
	{"stroke only", "", "1 0 0 0 k 0 1 0 0 K 20 20 40 20 re S", nil, "Magenta"},
	{"fill and stroke", "", "1 0 0 0 k 0 1 0 0 K 5 w 20 20 40 20 re B", nil, "Cyan, Magenta"},
	{"q and Q", "", "q 1 0 0 0 k Q" + box, nil, "Black"},
	{"spot", "", "/Plum cs 1 scn" + box, nil, "Plum"},
	{"spot by cs alone", "", "/Plum cs" + box, nil, "Plum"},
	{"spot of nothing", "", "/Plum cs 0 scn" + box, nil, ""},
	{"spot with space in its name", "", "/Fern cs .4 scn" + box, nil, "Fern Green"},
	{"stroked spot", "", "/Plum CS .4 SCN 5 w 20 20 m 60 40 l S", nil, "Plum"},
	{"none", "", "/None cs 1 scn" + box, nil, ""},
	{"DeviceN", "", "/Two cs 1 .2 scn" + box, nil, "Black, Plum"},
	{"DeviceN, one at 0", "", "/Two cs 0 1 scn" + box, nil, "Black"},
	{"DeviceN with None", "", "/Three cs 1 1 1 scn" + box, nil, "Cyan, Fern Green"},
	{"outside of the bleed", "", "/Plum cs 1 scn 0 0 4 4 re f", nil, ""},
	{"clipped away", "", "q 20 20 10 10 re W n /Plum cs 1 scn 50 20 20 20 re f Q /Fern cs 1 scn" + box, nil, "Fern Green"},
	{"clipped in part", "", "q 20 20 10 10 re W n /Plum cs 1 scn" + box + "Q", nil, "Plum"},
	{"text", "/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>",
		"0 0 0 1 k /Plum CS BT /F 12 Tf 20 20 Td (label) Tj ET", nil, "Black"},
	{"stroked text", "/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>",
		"0 0 0 1 k /Plum CS BT /F 12 Tf 1 Tr 20 20 Td [(la) 20 (bel)] TJ ET", nil, "Plum"},
	{"text that doesn't show", "/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>",
		"/Plum cs BT /F 12 Tf 3 Tr 20 20 Td (label) Tj ET", nil, ""},
	{"form", "/XObject << /F 9 0 R >>", "/F Do", []string{
		witness.Stream(form+"/Resources << /ColorSpace << /X [/Separation /Inner /DeviceCMYK 5 0 R] >> >>", "/X cs 1 scn"+box)}, "Inner"},
	{"form takes the colour of its caller", "/XObject << /F 9 0 R >>", "/Plum cs 1 scn /F Do", []string{
		witness.Stream(form+"/Resources << >>", box)}, "Plum"},
	{"form without resources", "/XObject << /F 9 0 R >>", "/F Do", []string{
		witness.Stream(form, "/Plum cs 1 scn"+box)}, "Plum"},
	{"form painted in two colours", "/XObject << /F 9 0 R >>", "/Plum cs 1 scn /F Do /Fern cs 1 scn 1 0 0 .3 0 0 cm /F Do", []string{
		witness.Stream(form+"/Resources << >>", box)}, "Plum, Fern Green"},
	{"form beyond its BBox", "/XObject << /F 9 0 R >>", "/F Do", []string{
		witness.Stream("/Subtype /Form /BBox [0 0 10 10] /Resources << >>", "1 0 0 0 k"+box)}, ""},
	{"form in a form", "/XObject << /F 9 0 R >>", "/F Do", []string{
		witness.Stream(form+"/Resources << /XObject << /G 10 0 R >> >>", "/G Do"),
		witness.Stream(form+"/Resources << >>", "0 1 0 0 k"+box)}, "Magenta"},
	{"tiling pattern", "/Pattern << /P 9 0 R >>", "/Pattern cs /P scn" + box, []string{
		witness.Stream("/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 9 9] /XStep 9 /YStep 9 /Resources << /ColorSpace << /X [/Separation /Inner /DeviceCMYK 5 0 R] >> >>",
			"/X cs 1 scn 0 0 5 5 re f")}, "Inner"},
	{"uncoloured pattern", "/Pattern << /P 9 0 R >>", "/PlumTiles cs 1 /P scn" + box, []string{
		witness.Stream("/PatternType 1 /PaintType 2 /TilingType 1 /BBox [0 0 9 9] /XStep 9 /YStep 9 /Resources << >>", "0 0 5 5 re f")}, "Plum"},
	{"axial shading", "/Shading << /S << /ShadingType 2 /ColorSpace [/Separation /Plum /DeviceCMYK 5 0 R] /Coords [0 0 100 0] /Function << /FunctionType 2 /Domain [0 1] /N 1 >> >> >>",
		"q 20 20 40 20 re W n /S sh Q", nil, "Plum"},
	{"shading in black alone", "/Shading << /S << /ShadingType 2 /ColorSpace /DeviceCMYK /Coords [0 0 100 0] /Function << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 0 0 1] >> >> >>",
		"q 20 20 40 20 re W n /S sh Q", nil, "Black"},
	{"shading pattern", "/Pattern << /P << /PatternType 2 /Shading << /ShadingType 3 /ColorSpace /DeviceCMYK /Coords [50 30 0 50 30 40] /Function << /FunctionType 2 /Domain [0 1] /N 1 /C0 [1 0 0 0] /C1 [0 1 0 0] >> >> >> >>",
		"/Pattern cs /P scn" + box, nil, "Cyan, Magenta"},
	{"image of a spot", "/XObject << /I 9 0 R >>", "q 40 0 0 20 20 20 cm /I Do Q", []string{
		witness.Stream("/Subtype /Image /Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace [/Separation /Inner /DeviceCMYK 5 0 R]", "\xff")}, "Inner"},
	{"gray image", "/XObject << /I 9 0 R >>", "q 40 0 0 20 20 20 cm /I Do Q", []string{
		witness.Stream("/Subtype /Image /Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace /DeviceGray", "\x10")}, "Black"},
	{"CMYK image", "/XObject << /I 9 0 R >>", "q 40 0 0 20 20 20 cm /I Do Q", []string{
		witness.Stream("/Subtype /Image /Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace /DeviceCMYK", "\x80\x80\x80\x80")}, "Cyan, Magenta, Yellow, Black"},
	{"palette of greys in CMYK", "/XObject << /I 9 0 R >>", "q 40 0 0 20 20 20 cm /I Do Q", []string{
		witness.Stream("/Subtype /Image /Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace [/Indexed /DeviceCMYK 1 <00000000 000000ff>]", "\x01")}, "Black"},
	{"palette of a spot", "/XObject << /I 9 0 R >>", "q 40 0 0 20 20 20 cm /I Do Q", []string{
		witness.Stream("/Subtype /Image /Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace [/Indexed [/Separation /Inner /DeviceCMYK 5 0 R] 1 <00ff>]", "\x01")}, "Inner"},
	{"image mask", "/XObject << /I 9 0 R >>", "/Plum cs 1 scn q 40 0 0 20 20 20 cm /I Do Q", []string{
		witness.Stream("/Subtype /Image /Width 8 /Height 1 /ImageMask true /BitsPerComponent 1", "\x00")}, "Plum"},
	{"inline image", "", "q 40 0 0 20 20 20 cm BI /W 1 /H 1 /BPC 8 /CS /G ID \x10 EI Q", nil, "Black"},
	{"inline image, named space", "", "q 40 0 0 20 20 20 cm BI /W 1 /H 1 /BPC 8 /CS /Plum /L 1 ID \xff EI Q", nil, "Plum"},
	{"inline mask", "", "/Fern cs 1 scn q 40 0 0 20 20 20 cm BI /W 8 /H 1 /IM true ID \x00 EI Q", nil, "Fern Green"},
	{"Type 3 glyph with colour", "/Font << /F 9 0 R >>", "BT /F 20 Tf 20 20 Td (a) Tj ET", []string{
		"<< /Type /Font /Subtype /Type3 /FontBBox [0 0 1 1] /FontMatrix [1 0 0 1 0 0] /CharProcs << /a 10 0 R /b 11 0 R >> /Encoding << /Differences [97 /a /b] >> /FirstChar 97 /LastChar 98 /Widths [1 1] /Resources << >> >>",
		witness.Stream("", "1 0 d0 0 1 0 0 k 0 0 1 1 re f"), witness.Stream("", "1 0 d0 0 0 1 0 k 0 0 1 1 re f")}, "Magenta"},
	{"Type 3 glyph as a shape", "/Font << /F 9 0 R >>", "/Plum cs 1 scn BT /F 20 Tf 20 20 Td (a) Tj ET", []string{
		"<< /Type /Font /Subtype /Type3 /FontBBox [0 0 1 1] /FontMatrix [1 0 0 1 0 0] /CharProcs << /a 10 0 R >> /Encoding << /Differences [97 /a] >> /FirstChar 97 /LastChar 97 /Widths [1] /Resources << >> >>",
		witness.Stream("", "1 0 0 0 1 1 d1 0 1 0 0 k 0 0 1 1 re f")}, "Plum"},
	{"soft mask makes no ink", "/ExtGState << /M << /SMask << /S /Luminosity /G 9 0 R >> >> >>", "/M gs /DeviceCMYK cs 1 0 0 0 scn" + box, []string{
		witness.Stream(form+"/Group << /S /Transparency /CS /DeviceGray >> /Resources << >>", "1 g 0 0 100 60 re f")}, "Cyan"},
}

func TestInks(t *testing.T) {
	for _, c := range cases {
		p := open(t, painted(t, c.resources, c.content, c.more...), Options{})
		var printed []string
		for _, u := range p.Inks {
			if u.State == Used {
				printed = append(printed, u.Name)
			}
		}
		if got := strings.Join(printed, ", "); got != c.inks {
			t.Errorf("%s: %q, want %q (all: %s)", c.name, got, c.inks, inkList(p))
		}
	}
}

// TestInksAreThosePlates compares the ink lists with the plates that
// Ghostscript makes of the same pages, within the bleed box.
func TestInksAreThosePlates(t *testing.T) {
	if testing.Short() {
		t.Skip("separates a page for each case")
	}
	var files []string
	for _, c := range cases {
		files = append(files, painted(t, c.resources, c.content, c.more...))
	}
	pages := witness.AllPlates(t, together(t, files), 72)
	if len(pages) != len(cases) {
		t.Fatalf("plates of %d pages", len(pages))
	}
	for i, c := range cases {
		var inked []string
		for name, plate := range pages[i] {
			most := uint8(0)
			for y := 6; y < 54; y++ {
				for x := 6; x < 94; x++ {
					most = max(most, plate.GrayAt(x, y).Y)
				}
			}
			if most > 1 {
				inked = append(inked, name)
			}
		}
		want := strings.Split(c.inks, ", ")
		if c.inks == "" {
			want = nil
		}
		slices.Sort(inked)
		slices.Sort(want)
		if !slices.Equal(inked, want) {
			t.Errorf("%s: plates %q, listed %q", c.name, inked, want)
		}
	}
}

// together makes one file of the first pages of many.
func together(t *testing.T, files []string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "together.pdf")
	out, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer out.Close()
	ok := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	w, err := pdfobj.NewWriter(out, pdfobj.WriterOptions{})
	ok(err)
	catalog, pages := w.Alloc(), w.Alloc()
	var kids pdfobj.Array
	for _, file := range files {
		p := open(t, file, Options{})
		page := p.Dict.Clone()
		delete(page, "Parent")
		copied, err := pdfobj.NewCopier(p.Doc, w).Copy(page)
		ok(err)
		page = copied.(pdfobj.Dict)
		page["Parent"] = pages
		ref := w.Alloc()
		ok(w.Put(ref, page))
		kids = append(kids, ref)
	}
	ok(w.Put(pages, pdfobj.Dict{"Type": pdfobj.Name("Pages"), "Kids": kids, "Count": pdfobj.Integer(len(kids))}))
	ok(w.Put(catalog, pdfobj.Dict{"Type": pdfobj.Name("Catalog"), "Pages": pages}))
	ok(w.Close(catalog, pdfobj.Ref{}))
	return path
}

func TestStatesOfInks(t *testing.T) {
	const layers = "/Properties << /On 9 0 R /Off 10 0 R /Either 11 0 R >>"
	groups := []string{"<< /Type /OCG /Name (Text) >>", "<< /Type /OCG /Name (Guides) >>", "<< /Type /OCMD /OCGs [9 0 R 10 0 R] /P /AllOn >>"}
	catalog := "/OCProperties << /OCGs [9 0 R 10 0 R] /D << /OFF [10 0 R] /Order [9 0 R 10 0 R] >> >>"
	for content, want := range map[string]string{
		"/OC /On BDC /Plum cs 1 scn" + box + "EMC":                              "Plum",
		"/OC /Off BDC /Plum cs 1 scn" + box + "EMC":                             "Plum[hidden]",
		"/OC /Either BDC /Plum cs 1 scn" + box + "EMC":                          "Plum[hidden]",
		"/OC /Off BDC /Span << >> BDC EMC /Plum cs 1 scn" + box + "EMC":         "Plum[hidden]",
		"/OC /Off BDC /Plum cs 1 scn" + box + "EMC" + box:                       "Plum",
		"/OC /Off BDC" + box + "EMC EMC EMC /Plum cs 1 scn 1 1 2 2 re f":        "Black[hidden], Plum[outside]",
		"/Plum cs 1 scn 1 1 2 2 re f":                                           "Plum[outside]",
		"/OC /Nowhere BDC /Plum cs 1 scn" + box + "EMC":                         "Plum",
		"/OC /Off BDC /Plum cs 1 scn" + box + "q EMC /Fern cs 1 scn" + box:      "Plum[hidden], Fern Green",
		"/OC << /Type /OCG >> BDC /Plum cs 1 scn 20 20 40 20 re f* EMC 0 0 0 k": "Plum",
	} {
		path := withCatalog(t, catalog, "/Contents 4 0 R /Resources << "+spots+layers+" >>",
			slices.Concat([]string{witness.Stream("", content)}, transforms, groups)...)
		p := open(t, path, Options{})
		var list []string
		for _, s := range strings.Split(inkList(p), ", ") {
			if !strings.Contains(s, "[present]") {
				list = append(list, s)
			}
		}
		if got := strings.Join(list, ", "); got != want {
			t.Errorf("%s: %s, want %s", content, got, want)
		}
	}
}

func TestInksThatAreOnlyPresent(t *testing.T) {
	p := open(t, painted(t, "/XObject << /F 9 0 R >>", box, witness.Stream(form+"/Resources << /ColorSpace << /X [/Separation /Inner /DeviceCMYK 5 0 R] >> >>", "")), Options{})
	if got, want := inkList(p), "Black, Die Line[present], Plum[present], Fern Green[present], White[present], Inner[present], Cyan[present]"; sorted(got) != sorted(want) {
		t.Errorf("%s\nwant %s", got, want)
	}
}

func sorted(list string) string {
	s := strings.Split(list, ", ")
	slices.Sort(s)
	return strings.Join(s, ", ")
}

func TestKindsBySteps(t *testing.T) {
	const layers = "/Properties << /Cut 9 0 R /Under 10 0 R /Own 11 0 R >>"
	groups := []string{
		"<< /Type /OCG /Name (A) /GTS_Metadata << /GTS_ProcStepsGroup /Structural /GTS_ProcStepsType /Cutting >> >>",
		"<< /Type /OCG /Name (B) /GTS_Metadata << /GTS_ProcStepsGroup /White >> >>",
		"<< /Type /OCG /Name (C) /GTS_Metadata << /GTS_ProcStepsGroup /House /GTS_ProcStepsType /Stamp >> >>",
	}
	for content, want := range map[string]ink.Kind{
		"/OC /Cut BDC /Plum cs 1 scn" + box + "EMC":                              ink.Technical,
		"/OC /Under BDC /Plum cs 1 scn" + box + "EMC":                            ink.White,
		"/OC /Own BDC /Plum cs 1 scn" + box + "EMC":                              ink.Spot,
		"/OC /Cut BDC /Plum cs 1 scn" + box + "EMC" + box:                        ink.Spot, // used elsewhere too
		"/OC /Cut BDC /Plum cs 1 scn" + box + "EMC /OC /Under BDC" + box + "EMC": ink.Spot, // steps that differ
		"/OC /Own BDC /OC /Cut BDC /Plum cs 1 scn" + box + "EMC EMC":             ink.Technical,
		"/OC /Cut BDC q /Plum cs 1 scn" + box + "Q EMC /Fern cs 1 scn" + box:     ink.Technical,
	} {
		path := withCatalog(t, "/OCProperties << /OCGs [9 0 R 10 0 R 11 0 R] /D << >> >>", "/Contents 4 0 R /Resources << "+spots+layers+" >>",
			slices.Concat([]string{witness.Stream("", content)}, transforms, groups)...)
		for _, u := range open(t, path, Options{}).Inks {
			if u.Name == "Plum" && u.Kind != want {
				t.Errorf("%s: %s, want %s", content, u.Kind, want)
			}
		}
	}
	p := open(t, painted(t, "", "/Plum cs 1 scn"+box), Options{Rules: ink.Rules{Aliases: map[string]string{"Plum": "Coat"}, Varnish: []string{"Coat"}}})
	if u := usage(p, "Plum"); u.Kind != ink.Varnish {
		t.Errorf("%+v", u)
	}
}

func TestSpotsKeepTheirSpaceAndLook(t *testing.T) {
	p := open(t, painted(t, "", "/Plum cs 1 scn"+box+"/Two cs 1 1 scn"+box), Options{})
	o, ok := p.SpotSpace("Plum")
	a, _ := o.(pdfobj.Array)
	if !ok || len(a) != 4 || a[0] != pdfobj.Object(pdfobj.Name("Separation")) {
		t.Errorf("%v", o)
	}
	if _, ok := p.SpotSpace("Black"); ok {
		t.Error("black has a Separation that nobody wrote")
	}
	for _, u := range p.Inks {
		if u.Name == "Plum" && (u.Alternate.String() != "DeviceCMYK 0.2 0.9 0 0.3" || u.CMYK != [4]float64{.2, .9, 0, .3} || fmt.Sprint(u.Where) != "[paths]") {
			t.Errorf("%+v", u)
		}
	}
}

func TestNChannelColorantsGiveTheSpotsTheirSpace(t *testing.T) {
	p := open(t, painted(t, "/ColorSpace << /N [/DeviceN [/Inner /Cyan] /DeviceCMYK 7 0 R << /Subtype /NChannel /Colorants << /Inner [/Separation /Inner /DeviceCMYK 5 0 R] /Stranger [/Separation /Stranger /DeviceCMYK 5 0 R] >> >>] >>",
		"/N cs 1 0 scn"+box), Options{})
	if _, ok := p.SpotSpace("Inner"); !ok || inkList(p) != "Inner, Cyan[present]" && inkList(p) != "Cyan[present], Inner" {
		t.Error(inkList(p))
	}
}

func TestHostileContentEnds(t *testing.T) {
	loop := witness.Stream(form+"/Resources << /XObject << /F 9 0 R /G 10 0 R >> >>", "/F Do /G Do"+box)
	other := witness.Stream(form+"/Resources << /XObject << /F 9 0 R /G 10 0 R >> >>", "/F Do /G Do"+box)
	p := open(t, painted(t, "/XObject << /F 9 0 R >>", "/F Do", loop, other), Options{})
	if usage(p, "Black").State != Used {
		t.Error(inkList(p))
	}
	// Forms that each paint the next one twice, larger each time.
	var chain []string
	for i := range 40 {
		chain = append(chain, witness.Stream(fmt.Sprintf(form+"/Resources << /XObject << /F %d 0 R >> >>", 10+i), "q 2 0 0 2 0 0 cm /F Do Q q 3 0 0 3 1 1 cm /F Do Q"))
	}
	chain = append(chain, witness.Stream(form+"/Resources << >>", box))
	p = open(t, painted(t, "/XObject << /F 9 0 R >>", "/F Do", chain...), Options{})
	if usage(p, "Black").State == "" {
		t.Error(inkList(p))
	}
	p = open(t, painted(t, "", strings.Repeat("q ", 100_000)+strings.Repeat("/OC /X BDC ", 10_000)+box+strings.Repeat("[", 10_000)), Options{})
	if usage(p, "Black").State != Used {
		t.Error(inkList(p))
	}
	p = open(t, painted(t, "", strings.Repeat("0 g ", 100)+box), Options{Operators: 50})
	if !strings.Contains(codes(p), ContentLong) || p.Unfit() == nil {
		t.Error(codes(p))
	}
}

// A form counts at every place where it is painted, and one that is painted at
// very many places counts as lying anywhere.
func TestFormsCountWhereTheyArePainted(t *testing.T) {
	spot := witness.Stream("/Subtype /Form /BBox [-999 -999 999 999] /Resources << /ColorSpace << /X [/Separation /Inner /DeviceCMYK 5 0 R] >> >>", "/X cs 1 scn 0 0 1 1 re f")
	at := func(x int) string { return fmt.Sprintf("q 1 0 0 1 %d 0 cm /F Do Q ", x) }
	inner := func(content string) State {
		return usage(open(t, painted(t, "/XObject << /F 9 0 R >>", content, spot), Options{}), "Inner").State
	}
	if got := inner(at(1)); got != Outside {
		t.Error(got)
	}
	if got := inner(at(1) + "q 1 0 0 1 20 20 cm /F Do Q"); got != Used {
		t.Error(got)
	}
	var many strings.Builder
	for x := range 300 {
		many.WriteString(at(-x))
	}
	if got := inner(many.String() + "q 1 0 0 1 20 20 cm /F Do Q"); got != Used {
		t.Error(got)
	}
}

func TestAScanCanBeEnded(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	f, err := Open(painted(t, "", strings.Repeat("0 g ", 20_000)+box), Options{PDF: pdfobj.Limits{Context: ctx}})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	cancel()
	if _, err := f.Page(1); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

func usage(p *Page, name string) Usage {
	for _, u := range p.Inks {
		if u.Name == name {
			return u
		}
	}
	return Usage{}
}

// A default space stands in for a device space, ISO 32000-1 8.6.5.6: here
// one that puts all of cyan on another ink.
func TestDefaultSpaceReplacesDeviceSpace(t *testing.T) {
	const resources = "/ColorSpace << /DefaultCMYK [/DeviceN [/Inner /Magenta /Yellow /Black] /DeviceCMYK 9 0 R] >>"
	identity := witness.Stream("/FunctionType 4 /Domain [0 1 0 1 0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{ }")
	p := open(t, onePage(t, "/Contents 4 0 R /Resources << "+resources+" >>",
		slices.Concat([]string{witness.Stream("", "1 0 0 0 k"+box)}, transforms, []string{identity})...), Options{})
	if got := inkList(p); got != "Magenta[present], Yellow[present], Black[present], Inner" {
		t.Error(got)
	}
}
