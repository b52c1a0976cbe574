package glimpse

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"maps"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"quoin/geometry/trials"
	"quoin/impose/pdfobj"
	"quoin/impose/raster"
)

// page makes a PDF of one page of 200 x 100 points with a form, fonts, states and
// spaces that content can name.
func pdf(t testing.TB, content string) []byte {
	t.Helper()
	var b bytes.Buffer
	w, err := pdfobj.NewWriter(&b, pdfobj.WriterOptions{})
	if err != nil {
		t.Fatal(err)
	}
	put := func(o pdfobj.Object) pdfobj.Ref {
		ref := w.Alloc()
		if err := w.Put(ref, o); err != nil {
			t.Fatal(err)
		}
		return ref
	}
	stream := func(d pdfobj.Dict, text string) pdfobj.Ref {
		ref := w.Alloc()
		if err := w.PutStream(ref, d, strings.NewReader(text), int64(len(text)), true); err != nil {
			t.Fatal(err)
		}
		return ref
	}
	name := func(s string) pdfobj.Object { return pdfobj.Name(s) }
	numbers := func(list ...float64) pdfobj.Array {
		a := pdfobj.Array{}
		for _, v := range list {
			a = append(a, pdfobj.Real(v))
		}
		return a
	}
	tint := pdfobj.Dict{"FunctionType": pdfobj.Integer(2), "N": pdfobj.Integer(1), "Domain": numbers(0, 1), "C0": numbers(0, 0, 0, 0), "C1": numbers(0, .9, .2, .3)}
	form := stream(pdfobj.Dict{"Type": name("XObject"), "Subtype": name("Form"), "BBox": numbers(0, 0, 20, 20), "Matrix": numbers(1, 0, 0, 1, 5, 5)},
		"0 0 0 1 k 0 0 30 10 re f 0 .5 0 0 k 0 10 30 10 re f")
	square := stream(pdfobj.Dict{}, "1000 0 0 0 800 800 d1\n0 0 m 800 0 l 800 800 l 0 800 l h 200 200 m 200 600 l 600 600 l 600 200 l h f")
	drawn := put(pdfobj.Dict{"Type": name("Font"), "Subtype": name("Type3"), "FontMatrix": numbers(.001, 0, 0, .001, 0, 0), "FontBBox": numbers(0, 0, 0, 0),
		"CharProcs": pdfobj.Dict{"sq": square}, "Encoding": pdfobj.Dict{"Type": name("Encoding"), "Differences": pdfobj.Array{pdfobj.Integer(13), name("sq")}},
		"FirstChar": pdfobj.Integer(13), "LastChar": pdfobj.Integer(13), "Widths": numbers(1000), "Resources": pdfobj.Dict{}})
	letters := put(pdfobj.Dict{"Type": name("Font"), "Subtype": name("Type1"), "BaseFont": name("Helvetica")})
	hidden, shown := put(pdfobj.Dict{"Type": name("OCG"), "Name": pdfobj.String("a")}), put(pdfobj.Dict{"Type": name("OCG"), "Name": pdfobj.String("b")})
	shade := put(pdfobj.Dict{"ShadingType": pdfobj.Integer(2), "ColorSpace": name("DeviceGray"), "Coords": numbers(0, 0, 200, 0),
		"Function": pdfobj.Dict{"FunctionType": pdfobj.Integer(2), "N": pdfobj.Integer(1), "Domain": numbers(0, 1), "C0": numbers(0), "C1": numbers(1)}})
	photo := image.NewRGBA(image.Rect(0, 0, 64, 48))
	for i := range photo.Pix {
		photo.Pix[i] = byte(i / 64 * (i%4 + 1))
	}
	var coded bytes.Buffer
	if err := jpeg.Encode(&coded, photo, nil); err != nil {
		t.Fatal(err)
	}
	image := func(width, height int, space, samples string, more pdfobj.Dict) pdfobj.Ref {
		d := pdfobj.Dict{"Type": name("XObject"), "Subtype": name("Image"), "Width": pdfobj.Integer(width), "Height": pdfobj.Integer(height), "ColorSpace": name(space), "BitsPerComponent": pdfobj.Integer(8)}
		maps.Copy(d, more)
		ref := w.Alloc()
		if err := w.PutStream(ref, d, strings.NewReader(samples), int64(len(samples)), d["Filter"] == nil); err != nil {
			t.Fatal(err)
		}
		return ref
	}
	soft := image(1, 1, "DeviceGray", "\x80", nil)
	coloured := image(2, 2, "DeviceRGB", "\xff\x00\x00\x00\xff\x00\x00\x00\xff\x80\x80\x80", nil)
	inked := image(2, 1, "DeviceCMYK", "\xff\x00\x00\x00\x00\x00\xff\x80", nil)
	picture := stream(pdfobj.Dict{"Type": name("XObject"), "Subtype": name("Image"), "Width": pdfobj.Integer(1), "Height": pdfobj.Integer(1), "ColorSpace": name("DeviceGray"), "BitsPerComponent": pdfobj.Integer(8)}, "\x00")
	pages, page := w.Alloc(), w.Alloc()
	resources := pdfobj.Dict{
		"XObject": pdfobj.Dict{"Art": form, "Pic": picture, "Rgb": coloured, "Inks": inked,
			"Jpeg":  image(64, 48, "DeviceRGB", coded.String(), pdfobj.Dict{"Filter": name("DCTDecode")}),
			"Lying": image(64, 4800, "DeviceRGB", coded.String(), pdfobj.Dict{"Filter": name("DCTDecode")}),
			"Soft":  image(1, 1, "DeviceGray", "\x00", pdfobj.Dict{"SMask": soft}),
			"Upset": image(1, 1, "DeviceGray", "\x00", pdfobj.Dict{"Decode": numbers(1, 0)}),
			"Short": image(200, 100, "DeviceGray", "\x00", nil)},
		"Font":       pdfobj.Dict{"Sq": drawn, "He": letters},
		"ColorSpace": pdfobj.Dict{"Spot": pdfobj.Array{name("Separation"), name("Tally"), name("DeviceCMYK"), tint}},
		"ExtGState":  pdfobj.Dict{"Faint": pdfobj.Dict{"ca": pdfobj.Real(.5)}, "Plain": pdfobj.Dict{"ca": pdfobj.Real(1), "BM": name("Normal"), "SMask": name("None")}, "Mult": pdfobj.Dict{"BM": name("Multiply")}},
		"Properties": pdfobj.Dict{"Off": hidden, "On": shown},
		"Shading":    pdfobj.Dict{"Sh": shade},
	}
	contents := pdfobj.Array{stream(pdfobj.Dict{}, content), stream(pdfobj.Dict{}, "q Q")}
	if err := w.Put(page, pdfobj.Dict{"Type": name("Page"), "Parent": pages, "Contents": contents, "Resources": resources}); err != nil {
		t.Fatal(err)
	}
	if err := w.Put(pages, pdfobj.Dict{"Type": name("Pages"), "Kids": pdfobj.Array{page}, "Count": pdfobj.Integer(1), "MediaBox": numbers(0, 0, 200, 100)}); err != nil {
		t.Fatal(err)
	}
	catalog := put(pdfobj.Dict{"Type": name("Catalog"), "Pages": pages, "OCProperties": pdfobj.Dict{"OCGs": pdfobj.Array{hidden, shown}, "D": pdfobj.Dict{"OFF": pdfobj.Array{hidden}}}})
	if err := w.Close(catalog, pdfobj.Ref{}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

const perPoint = 300.0 / 72

// glimpsed draws two places of a page: its left half, and a square on its right.
func glimpsed(text []byte) ([]*Place, error) {
	b, err := Open(context.Background(), bytes.NewReader(text), int64(len(text)))
	if err != nil {
		return nil, err
	}
	return b.Draw(0, perPoint, []image.Rectangle{image.Rect(0, 0, 416, 416), image.Rect(500, 100, 700, 300)})
}

// What is drawn is what PDFium draws, wherever it is said to be known.
func TestDrawsAsTheRendererDoes(t *testing.T) {
	r, err := raster.New(t.Context(), func(string) {})
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	for what, content := range pages() {
		text := pdf(t, content)
		places, err := glimpsed(text)
		if err != nil {
			t.Errorf("%s: %v", what, err)
			continue
		}
		book, err := r.OpenBook(bytes.NewReader(text), int64(len(text)))
		if err != nil {
			t.Fatal(err)
		}
		sheet, err := book.Sheet(0)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range places {
			area := p.Grey.Rect
			want, err := sheet.GreyPart(t.Context(), area.Dx(), area.Dy(), perPoint, float64(area.Min.X)/perPoint, float64(area.Min.Y)/perPoint)
			if err != nil {
				t.Fatal(err)
			}
			if !p.Known() {
				t.Errorf("%s: not known", what)
			}
			// Edges are smoothed otherwise, by up to a pixel on each side: of those
			// only their sum is the same. Greys of mixed inks differ by up to 45.
			far, sum := 0, 0.0
			for i, v := range p.Grey.Pix {
				d := math.Abs(float64(v) - float64(want[i]))
				if sum += d; d > 45 {
					far++
				}
			}
			if mean := sum / float64(len(want)); mean > 10 || far > len(want)/50 {
				t.Errorf("%s: greys differ by %.1f on average, %d of %d pixels by more than 45", what, mean, far, len(want))
			}
		}
		sheet.Close()
		book.Close()
	}
}

func pages() map[string]string {
	rng := rand.New(rand.NewPCG(1, 2))
	list := map[string]string{
		"nothing":             "",
		"pictures":            "q 50 0 0 40 10 20 cm /Pic Do Q q 60 0 0 60 125 15 cm /Rgb Do Q q 30 0 0 30 20 60 cm /Inks Do Q q 20 0 0 20 140 30 cm /Jpeg Do Q",
		"turned pictures":     "q 0 50 -40 0 60 20 cm /Rgb Do Q q 130 20 30 30 re W n -50 0 0 -40 180 80 cm /Jpeg Do Q q 30 20 -20 30 40 50 cm /Pic Do Q",
		"paths":               "0 0 0 1 k 10 10 m 60 10 l 60 60 l h f 1 g 20 20 20 20 re f 0 g 70 20 m 70 60 120 60 120 20 c f 130 20 m 140 60 160 20 v h f",
		"winding":             "0 g 10 10 60 60 re 20 20 m 20 60 l 60 60 l 60 20 l h f 130 20 50 50 re 140 30 30 30 re f",
		"clips":               "q 20 20 30 30 re W n 0 g 0 0 200 100 re f Q q 130 20 m 180 20 l 155 70 l h W n 0 .8 0 0 k 0 0 200 100 re f 20 10 150 20 re W n 1 g 0 0 200 100 re f Q",
		"no room":             "q 20 20 10 10 re W n 60 60 10 10 re W n 0 g 0 0 200 100 re f Q",
		"forms":               "/Art Do q 2 0 0 1.5 120 20 cm /Art Do Q q 0 1 -1 0 80 40 cm /Art Do Q",
		"spot":                "/Spot cs 1 scn 10 10 60 60 re f .4 scn 120 20 50 50 re f",
		"rgb":                 "1 0 0 rg 10 10 30 60 re f 0 1 0 rg 40 10 30 60 re f .2 .4 .8 rg 120 20 50 50 re f",
		"Type 3":              "BT /Sq 1 Tf 20 0 0 20 20 20 Tm (\\r\\015)Tj 1 TL (\\r) ' 10 0 5 30 140 40 Tm 1 0 0 rg [(\\r) -500 <0D>] TJ ET",
		"an opaque state":     "/Plain gs 0 g 20 20 60 60 re f /On /x BMC EMC /OC /On BDC 130 30 40 40 re f EMC",
		"evenly":              "0 g 20 20 30 30 re 60 60 20 20 re f* 130 20 m 180 20 l 155 70 l f*",
		"covered":             "/Faint gs 10 10 180 80 re f /Plain gs /Sh sh 0 0 200 100 re S 1 g -1 -1 202 102 re f 0 g 20 20 60 60 re f 130 30 40 40 re f",
		"far from the places": "0 G 2 w 110 5 m 110 95 l S BT /He 8 Tf 104 92 Td (I)Tj ET q 5 0 0 5 108 2 cm /Pic Do Q",
		"a cut string":        "0 g BT /Sq 30 Tf 20 20 Td (\\\r\n\\r) Tj 110 0 Td (\\\n\\15) Tj ET % a comment (\n130 60 10 10 re f",
	}
	inks := ""
	for i := range 100 {
		inks += fmt.Sprintf("%.2f %.2f %.2f %.2f k %d %d 20 10 re f\n", rng.Float64(), rng.Float64(), rng.Float64(), rng.Float64(), i%10*20, i/10*10)
	}
	list["inks"] = inks
	return list
}

// Whatever may touch a place and isn't known makes it unknown, or stops the look.
func TestSaysWhatItDoesntKnow(t *testing.T) {
	for what, content := range map[string]string{
		"a stroke":             "0 G 130 30 m 160 60 l S",
		"a frame":              "0 G 1 w 20 20 50 50 re S 130 40 20 20 re S",
		"a shading":            "/Sh sh",
		"a faint fill":         "/Faint gs 0 0 200 100 re f",
		"a faint form":         "/Faint gs q 5 0 0 3 100 0 cm /Art Do Q",
		"a blend":              "/Mult gs 0 0 200 100 re f",
		"letters":              "BT /He 12 Tf 120 50 Td (Lot 4711) Tj ET",
		"letters beside":       "BT /He 12 Tf 80 50 Td (Lot 4711) Tj ET",
		"an open shape":        "0 g 125 30 m 150 70 l 175 30 l 125 60 l 175 60 l f*",
		"what is switched":     "/OC /Off BDC 0 0 200 100 re f EMC",
		"an unknown switch":    "/OC /Else BDC q EMC 0 g Q /OC /Else BDC 0 0 200 100 re f EMC",
		"a pattern":            "/Pattern cs /P scn 0 0 200 100 re f",
		"a strange space":      "/Else cs 1 scn 0 0 200 100 re f",
		"letters as a clip":    "BT 7 Tr /He 12 Tf 1 1 Td (Lot) Tj ET 0 0 200 100 re f",
		"an evenly cut clip":   "120 20 50 50 re 130 30 30 30 re W* n 0 0 200 100 re f",
		"an inline picture":    "q 80 0 0 80 100 10 cm BI /W 1 /H 1 /BPC 8 /CS /G ID x EI Q",
		"an unknown operator":  "10 20 frobnicate",
		"too few numbers":      "10 20 re f",
		"a string without end": "BT /Sq 9 Tf (abc",
		"an unknown form":      "/Else Do",
		"an unknown state":     "/Else gs",
		"no font":              "BT /Else 9 Tf (abc) Tj ET",
		"a bare return":        "BT /Sq 9 Tf (a\rb) Tj ET",
		"too many Q":           "Q 0 g",
	} {
		places, err := glimpsed(pdf(t, content))
		if err == nil && places[1].Known() {
			t.Errorf("%s is taken as known", what)
		}
	}
}

// Files are cut and filled with nonsense: that is an error, and never more.
func TestDamagedFilesAreErrors(t *testing.T) {
	text := pdf(t, pages()["forms"]+pages()["Type 3"])
	rng := rand.New(rand.NewPCG(3, 4))
	for range trials.Number(t, "", 1000, 3000) {
		bad := bytes.Clone(text)
		for range 1 + rng.IntN(8) {
			bad[rng.IntN(len(bad))] = byte(rng.UintN(256))
		}
		if rng.IntN(4) == 0 {
			bad = bad[:rng.IntN(len(bad))]
		}
		if _, err := glimpsed(bad); err != nil && strings.Contains(err.Error(), "runtime error") {
			t.Fatal(err)
		}
	}
}
