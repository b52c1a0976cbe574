package artwork

import (
	"encoding/binary"
	"fmt"
	"slices"
	"strings"
	"testing"

	"quoin/impose/witness"
)

// profileOf is the header of an ICC profile of a colour space, which is all
// that is read of one.
func profileOf(space string) string {
	b := make([]byte, 132)
	binary.BigEndian.PutUint32(b, 132)
	copy(b[16:], space)
	copy(b[36:], "acsp")
	return string(b)
}

func helvetica(more string) string {
	return "/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica " + more + " >> >>"
}

func imageOf(entries, data string) string {
	return witness.Stream("/Type /XObject /Subtype /Image "+entries, data)
}

// What is always found in the pages of these tests.
var always = []string{NoIntent, InkUnused}

func TestFindings(t *testing.T) {
	const place = "q 40 0 0 20 20 20 cm /I Do Q"
	grey := "/Width 400 /Height 200 /BitsPerComponent 8 /ColorSpace /DeviceGray"
	for _, c := range []struct {
		name, resources, content string
		more                     []string
		want                     string // codes
	}{
		{"sound", "", "0 0 0 1 k" + box, nil, ""},
		{"device RGB", "", "1 0 0 rg" + box, nil, "rgb rgb-without-space"},
		{"RGB beyond the bleed", "", "1 0 0 rg 0 0 3 3 re f", nil, ""},
		{"calibrated RGB", "/ColorSpace << /C [/CalRGB << /WhitePoint [.9505 1 1.089] >>] >>", "/C cs 1 0 0 sc" + box, nil, "rgb"},
		{"Lab", "/ColorSpace << /L [/Lab << /WhitePoint [.9642 1 .8249] >>] >>", "/L cs 50 0 0 sc" + box, nil, "rgb"},
		{"RGB by profile", "/ColorSpace << /P [/ICCBased 9 0 R] >>", "/P cs 1 0 0 sc" + box, []string{witness.Stream("/N 3", profileOf("RGB "))}, "rgb"},
		{"Lab by profile", "/ColorSpace << /P [/ICCBased 9 0 R] >>", "/P cs 1 0 0 sc" + box, []string{witness.Stream("/N 3", profileOf("Lab "))}, "rgb"},
		{"grey by profile", "/ColorSpace << /P [/ICCBased 9 0 R] >>", "/P cs 0 sc" + box, []string{witness.Stream("/N 1", profileOf("GRAY"))}, ""},
		{"CMYK by profile that overprints in mode 1", "/ColorSpace << /P [/ICCBased 9 0 R] >>", "/Over gs /P cs 0 0 0 1 sc" + box, []string{witness.Stream("/N 4", profileOf("CMYK"))}, "cmyk-of-other-profile overprint-mode-profile"},
		{"CMYK by profile", "/ColorSpace << /P [/ICCBased 9 0 R] >>", "/P cs 0 0 0 1 sc" + box, []string{witness.Stream("/N 4", profileOf("CMYK"))}, "cmyk-of-other-profile"},
		{"broken profile", "/ColorSpace << /P [/ICCBased 9 0 R] >>", "/P cs 0 0 0 1 sc" + box, []string{witness.Stream("/N 4", "short")}, "cmyk-of-other-profile profile-invalid"},
		{"profile of another N", "/ColorSpace << /P [/ICCBased 9 0 R] >>", "/P cs 1 0 0 sc" + box, []string{witness.Stream("/N 3", profileOf("CMYK"))}, "profile-invalid rgb"},
		{"default RGB", "/ColorSpace << /DefaultRGB [/ICCBased 9 0 R] >>", "1 0 0 rg" + box, []string{witness.Stream("/N 3", profileOf("RGB "))}, "rgb"},
		{"unknown space", "", "/Nowhere cs 1 sc" + box, nil, "colour-space-unknown resource-missing"},
		{"broken space", "/ColorSpace << /B [] >>", "/B cs 1 sc" + box, nil, "colour-space-unknown"},
		{"space inside itself", "/ColorSpace << /B /B >>", "/B cs 1 sc" + box, nil, "colour-space-unknown"},
		{"registration colour", "", "/All cs 1 scn" + box, nil, "registration-colour"},
		{"registration colour in the margin", "", "/All cs 1 scn 0 0 3 3 re f", nil, ""},
		{"font missing", helvetica(""), "BT /F 9 Tf 20 20 Td (a) Tj ET", nil, "font-not-embedded"},
		{"font missing, but never used", helvetica(""), "BT /F 9 Tf ET", nil, ""},
		{"font missing, but invisible", helvetica(""), "BT /F 9 Tf 3 Tr 20 20 Td (a) Tj ET", nil, ""},
		{"font there", helvetica("/FontDescriptor << /FontFile3 9 0 R >>"), "BT /F 9 Tf 20 20 Td (a) Tj ET", []string{witness.Stream("", "x")}, ""},
		{"composite font", "/Font << /F << /Subtype /Type0 /BaseFont /O /DescendantFonts [<< /Subtype /CIDFontType2 /FontDescriptor << /FontFile2 9 0 R >> >>] >> >>",
			"BT /F 9 Tf 20 20 Td <0001> Tj ET", []string{witness.Stream("", "x")}, ""},
		{"composite font missing", "/Font << /F << /Subtype /Type0 /BaseFont /O /DescendantFonts [<< /Subtype /CIDFontType2 >>] >> >>",
			"BT /F 9 Tf 20 20 Td <0001> Tj ET", nil, "font-not-embedded"},
		{"font by graphics state", "/ExtGState << /T << /Font [9 0 R 9] >> >>", "/T gs BT 20 20 Td (a) Tj ET",
			[]string{"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>"}, "font-not-embedded"},
		{"image fine enough", "/XObject << /I 9 0 R >>", place, []string{imageOf(grey, strings.Repeat("x", 80000))}, ""},
		{"image too coarse", "/XObject << /I 9 0 R >>", "q 2 0 0 2 0 0 cm " + place + " Q", []string{imageOf("/Width 40 /Height 20 /BitsPerComponent 8 /ColorSpace /DeviceGray", strings.Repeat("x", 800))}, "image-low-resolution"},
		{"image too coarse, but outside", "/XObject << /I 9 0 R >>", "q 4 0 0 4 0 0 cm /I Do Q", []string{imageOf("/Width 5 /Height 5 /BitsPerComponent 8 /ColorSpace /DeviceGray", strings.Repeat("x", 25))}, ""},
		{"flat tint", "/XObject << /I 9 0 R >>", place, []string{imageOf("/Width 4 /Height 4 /BitsPerComponent 8 /ColorSpace /DeviceGray", strings.Repeat("x", 16))}, ""},
		{"bitmap too coarse", "/XObject << /I 9 0 R >>", place, []string{imageOf("/Width 328 /Height 160 /BitsPerComponent 1 /ColorSpace /DeviceGray", strings.Repeat("x", 41*160))}, "image-low-resolution"},
		{"bitmap fine enough", "/XObject << /I 9 0 R >>", place, []string{imageOf("/Width 336 /Height 168 /ImageMask true /BitsPerComponent 1", strings.Repeat("x", 42*168))}, ""},
		{"alternates", "/XObject << /I 9 0 R >>", place, []string{imageOf(grey+" /Alternates []", strings.Repeat("x", 80000))}, "image-alternates"},
		{"OPI", "/XObject << /I 9 0 R >>", place, []string{imageOf(grey+" /OPI << /2.0 << >> >>", strings.Repeat("x", 80000))}, "opi"},
		{"PostScript", "/XObject << /I 9 0 R >>", place, []string{witness.Stream("/Type /XObject /Subtype /PS", "showpage")}, "postscript"},
		{"reference", "/XObject << /I 9 0 R >>", place, []string{witness.Stream(form+"/Resources << >> /Ref << /F (a.pdf) /Page 0 >>", "")}, "reference-xobject"},
		{"LZW", "/XObject << /I 9 0 R >>", place, []string{witness.Stream(form+"/Resources << >> /Filter /LZWDecode", "\x80\x0b\x60\x50\x22\x0c\x0c\x85\x01")}, "lzw operator-unknown"}, // the bytes of 7.4.4.2, which are no content
		{"form without resources", "/XObject << /I 9 0 R >>", "/I Do", []string{witness.Stream(form, "")}, "form-without-resources"},
		{"transfer function", "/ExtGState << /T << /TR << /FunctionType 2 /N 1 /Domain [0 1] >> >> >>", "/T gs" + box, nil, "transfer-function"},
		{"no transfer function", "/ExtGState << /T << /TR /Identity /TR2 /Default >> >>", "/T gs" + box, nil, ""},
		{"halftone", "/ExtGState << /T << /HT << /HalftoneType 1 /HalftoneName (Fine) >> >> >>", "/T gs" + box, nil, "halftone"},
		{"hairline", "", "0 w 20 20 m 40 40 l S", nil, "hairline"},
		{"thin line", "", "q .1 0 0 .1 0 0 cm 2 w 200 200 m 400 400 l S Q", nil, "hairline"},
		{"line", "", ".25 w 20 20 m 40 40 l S", nil, ""},
		{"thin die line", "", "/Die CS .1 w 20 20 m 40 40 l S", nil, "die-line-unclear"},
		{"one ink, two looks", "/ColorSpace << /A [/Separation /Inner /DeviceCMYK 5 0 R] /B [/Separation /Inner /DeviceCMYK 6 0 R] >>", "/A cs 1 scn" + box + "/B cs 1 scn" + box, nil, "ink-alternates-differ"},
		{"one ink, one look", "/ColorSpace << /A [/Separation /Inner /DeviceCMYK 5 0 R] /B [/Separation /Inner /DeviceCMYK 5 0 R] >>", "/A cs 1 scn" + box + "/B cs 1 scn" + box, nil, ""},
		{"odd name", "/ColorSpace << /O [/Separation /Gr#FCn /DeviceCMYK 5 0 R] >>", "/O cs 1 scn" + box, nil, "ink-name-invalid"},
		{"CMYK in an RGB group", "/XObject << /I 9 0 R >>", "/I Do", []string{witness.Stream(form+"/Resources << >> /Group << /S /Transparency /I true /CS /DeviceRGB >>", "0 0 0 1 k"+box)}, "rgb-group"},
		{"CMYK in an RGB group that isn't isolated", "/XObject << /I 9 0 R >>", "/I Do", []string{witness.Stream(form+"/Resources << >> /Group << /S /Transparency /CS /DeviceRGB >>", "0 0 0 1 k"+box)}, ""},
		{"white that overprints", "", "1 0 0 0 k" + box + "/Over gs 0 0 0 0 k" + box, nil, "white-overprints"},
		// The white rules are those of TV-P8 to TV-P11, measured.
		{"white knocked out", "", "/White cs 1 scn" + box + "0 1 0 0 k" + box, nil, "white-knocked-out"},
		{"white beneath overprint", "", "/White cs 1 scn" + box + "/Over gs 0 1 0 0 k" + box, nil, ""},
		{"white beneath multiply", "", "/White cs 1 scn" + box + "/Multiply gs 0 1 0 0 k" + box, nil, ""},
		{"white beside", "", "/White cs 1 scn 20 20 10 20 re f 0 1 0 0 k 40 20 10 20 re f", nil, ""},
		{"white beneath an isolated group", "/XObject << /I 9 0 R >>", "/White cs 1 scn" + box + "/Over gs /I Do",
			[]string{witness.Stream(form+"/Resources << >> /Group << /S /Transparency /I true >>", "0 1 0 0 k"+box)}, "white-knocked-out"},
		{"white beneath a group that isn't isolated", "/XObject << /I 9 0 R >>", "/White cs 1 scn" + box + "/Over gs /I Do",
			[]string{witness.Stream(form+"/Resources << >> /Group << /S /Transparency >>", "0 1 0 0 k"+box)}, ""},
		{"white on top clears", "", "0 1 0 0 k" + box + "/White cs 1 scn" + box, nil, "white-knocks-out"},
		{"white on top overprints", "", "0 1 0 0 k" + box + "/Over gs /White cs 1 scn" + box, nil, ""},
		{"die line over white", "", "/White cs 1 scn" + box + "/Die CS 1 w 20 20 40 20 re S", nil, "die-line-differs"},
	} {
		p := open(t, painted(t, c.resources, c.content, c.more...), Options{})
		if got := codes(p, always...); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// The white rules once more, on Ghostscript's plates: where a finding says
// that white is lost, the plate has none in the middle of the box.
func TestWhiteFindingsAreThosePlates(t *testing.T) {
	if testing.Short() {
		t.Skip("separates pages")
	}
	group := func(entries string) string {
		return witness.Stream(form+"/Resources << >> /Group << /S /Transparency "+entries+" >>", "0 1 0 0 k"+box)
	}
	rows := []struct {
		content, group string
		white, magenta uint8
		want           string
	}{
		{"/White cs 1 scn" + box + "0 1 0 0 k" + box, "", 0, 255, WhiteKnockedOut},
		{"/White cs 1 scn" + box + "/Over gs 0 1 0 0 k" + box, "", 255, 255, ""},
		{"/White cs 1 scn" + box + "/Multiply gs 0 1 0 0 k" + box, "", 255, 255, ""},
		{"/White cs 1 scn" + box + "/Over gs /I Do", group("/I true"), 0, 255, WhiteKnockedOut},
		{"/White cs 1 scn" + box + "/Over gs /I Do", group(""), 255, 255, ""},
		{"0 1 0 0 k" + box + "/White cs 1 scn" + box, "", 255, 0, WhiteKnocksOut},
		{"0 1 0 0 k" + box + "/Over gs /White cs 1 scn" + box, "", 255, 255, ""},
	}
	var files []string
	for _, r := range rows {
		files = append(files, painted(t, "/XObject << /I 9 0 R >>", r.content, r.group))
	}
	pages := witness.AllPlates(t, together(t, files), 72)
	for i, r := range rows {
		if got := codes(open(t, files[i], Options{}), always...); got != r.want {
			t.Errorf("%s: %q, want %q", r.content, got, r.want)
		}
		white, magenta := pages[i]["White"].GrayAt(30, 30).Y, pages[i]["Magenta"].GrayAt(30, 30).Y
		if white != r.white || magenta != r.magenta {
			t.Errorf("%s: white %d, magenta %d", r.content, white, magenta)
		}
	}
}

func TestProfileOfTheOutputIntent(t *testing.T) {
	const intent = "/OutputIntents [<< /S /GTS_PDFA1 /OutputConditionIdentifier (Other) >> << /S /GTS_PDFX /OutputConditionIdentifier <FEFF0050007200650073007300E9> /DestOutputProfile 9 0 R >>]"
	build := func(more ...string) string {
		return withCatalog(t, intent, "/Contents 4 0 R /Resources << /ColorSpace << /P [/ICCBased 10 0 R] >> >>",
			slices.Concat([]string{witness.Stream("", "/P cs 0 0 0 1 sc"+box)}, transforms, more)...)
	}
	cmyk := witness.Stream("/N 4", profileOf("CMYK"))
	p := open(t, build(cmyk, cmyk), Options{})
	i := p.OutputIntent
	if i == nil || i.Condition != "Pressé" || i.Components != 4 || i.Space != "CMYK" || len(i.SHA256) != 64 {
		t.Fatalf("%+v", i)
	}
	// The same profile: its colours are the press's own.
	if got := codes(p); got != IntentCMYK || usage(p, "Cyan").State == Used || usage(p, "Black").State != Used {
		t.Errorf("%s; %s", got, inkList(p))
	}
	p = open(t, build(cmyk, witness.Stream("/N 4", profileOf("CMYK")+"more")), Options{})
	if got := codes(p); got != ForeignCMYK || usage(p, "Cyan").State != Used {
		t.Errorf("%s; %s", got, inkList(p))
	}
	p = open(t, build(witness.Stream("", "junk"), cmyk), Options{})
	if got := codes(p); got != ForeignCMYK+" "+ProfileInvalid {
		t.Error(got)
	}
	p = open(t, build(witness.Stream("", profileOf("6CLR")), cmyk), Options{})
	if p.OutputIntent.Components != 6 {
		t.Errorf("%+v", p.OutputIntent)
	}
	// With an intent of RGB, device RGB means something.
	path := withCatalog(t, intent, "/Contents 4 0 R", slices.Concat([]string{witness.Stream("", "1 0 0 rg"+box)}, transforms, []string{witness.Stream("", profileOf("RGB "))})...)
	if got := codes(open(t, path, Options{})); got != RGB {
		t.Error(got)
	}
}

func TestResolutionsAreThoseOfThePlace(t *testing.T) {
	img := imageOf("/Width 100 /Height 50 /BitsPerComponent 8 /ColorSpace /DeviceGray", strings.Repeat("x", 5000))
	for content, want := range map[string]float64{
		"36 0 0 18 20 20 cm /I Do":                              200,
		"q 36 0 0 18 20 20 cm /I Do Q 72 0 0 18 20 20 cm /I Do": 100, // the lowest
		"0 36 -18 0 50 20 cm /I Do":                             200, // turned
		"25.456 25.456 -12.728 12.728 50 20 cm /I Do":           200, // turned by 45 degrees
		"36 0 0 36 20 20 cm /I Do":                              100, // stretched
	} {
		p := open(t, painted(t, "/XObject << /I 9 0 R >>", content, img), Options{})
		if len(p.Images) != 1 || fmt.Sprintf("%.1f", p.Images[0].PPI) != fmt.Sprintf("%.1f", want) {
			t.Errorf("%s: %+v, want %g", content, p.Images, want)
		}
		if at := p.Images[0].At; strings.HasPrefix(content, "q ") && at != (Rect{20, 20, 92, 38}) {
			t.Errorf("%s: the lowest resolution is at %v", content, at)
		}
	}
	path := onePage(t, "/UserUnit 2 /Contents 4 0 R /Resources << /XObject << /I 5 0 R >> >>", witness.Stream("", "36 0 0 18 20 20 cm /I Do"), img)
	if p := open(t, path, Options{}); p.Images[0].PPI != 100 {
		t.Errorf("UserUnit 2: %g ppi", p.Images[0].PPI)
	}
}

func TestTransparencyAndOverprint(t *testing.T) {
	for content, want := range map[string][2]bool{
		box:                               {false, false},
		"/Half gs" + box:                  {true, false},
		"/Multiply gs" + box:              {true, false},
		"/Over gs" + box:                  {false, true},
		"/Over gs":                        {false, false}, // nothing is painted
		"/Over gs 0 0 3 3 re f":           {false, false}, // nothing that prints
		"q /Over gs Q" + box:              {false, false},
		"/Over gs 20 20 40 20 re S":       {false, true},
		"/OnlyFill gs 20 20 40 20 re S":   {false, false},
		"/OnlyFill gs 20 20 40 20 re f":   {false, true},
		"/OnlyStroke gs 20 20 40 20 re f": {false, true}, // op follows OP where it is missing, Table 58
	} {
		p := open(t, painted(t, "", strings.ReplaceAll(content, "\n", " "), nil...), Options{})
		if strings.Contains(content, "Only") {
			p = open(t, onePage(t, "/Contents 4 0 R /Resources << /ExtGState << /OnlyFill << /OP false /op true >> /OnlyStroke << /OP true >> >> >>", witness.Stream("", content)), Options{})
		}
		if p.Transparency != want[0] || p.Overprint != want[1] {
			t.Errorf("%s: transparency %t, overprint %t", content, p.Transparency, p.Overprint)
		}
	}
}

func TestLayersThatAskToBeSwitchedForPrinting(t *testing.T) {
	path := withCatalog(t, "/OCProperties << /OCGs [5 0 R] /D << /AS [<< /Event /Print /OCGs [5 0 R] /Category [/Print] >>] >> >>",
		"/Contents 4 0 R /Resources << /Properties << /L 5 0 R >> >>", witness.Stream("", "/OC /L BDC"+box+"EMC"),
		"<< /Type /OCG /Name (Notes) /Usage << /Print << /PrintState /OFF >> >> >>")
	p := open(t, path, Options{})
	if got := codes(p, always...); got != LayerAutomatic || !p.Layers[0].On {
		t.Error(got)
	}
}

// Each code is told apart by how much it matters.
func TestLevels(t *testing.T) {
	p := open(t, painted(t, "", "1 0 0 rg"+box), Options{})
	for _, f := range p.Findings {
		if want := map[bool]Level{true: Notice, false: Warning}[notices[f.Code]]; f.Level != want {
			t.Errorf("%s: %s", f.Code, f.Level)
		}
	}
	if text(p, RGB) != "DeviceRGB is used in paths: the RIP must convert it, and all four process inks are assumed" {
		t.Error(text(p, RGB))
	}
}
