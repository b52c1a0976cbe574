package artwork

import (
	"math"
	"testing"

	"quoin/geometry"
	"quoin/impose/ink"
	"quoin/impose/witness"
)

// Each content is painted on a page of 200 x 200 points; the boxes are told in
// points from its upper left corner. The looks are worked out by hand.
func TestGround(t *testing.T) {
	paper, red, dark := [3]float64{1, 1, 1}, [3]float64{1, 0, 0}, [3]float64{.25, .25, .25}
	cream := ink.RGB([4]float64{0, 0, .2, 0})
	const resources = `/ExtGState << /Half << /ca .5 >> /Whole << /ca 1 /CA 1 /BM /Normal /SMask /None >> /Over << /op true /OP true >> >>
/ColorSpace << /White [/Separation /White /DeviceCMYK << /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 0 0 .2] /N 1 >>]
 /Plum [/Separation /Plum /DeviceCMYK << /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 0 .4 0] /N 1 >>] >>
/Shading << /S << /ShadingType 2 /ColorSpace /DeviceGray /Coords [0 0 1 0] /Function << /FunctionType 2 /Domain [0 1] /C0 [0] /C1 [1] /N 1 >> >> >>
/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>
/XObject << /I 9 0 R /Form 10 0 R >>`
	image := imageOf("/Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace /DeviceGray", "x")
	form := witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 50 50] /Resources << >>", "1 0 0 rg 0 0 200 200 re f")
	middle := Rect{80, 80, 120, 120}
	for _, c := range []struct {
		name, content string
		box           Rect
		look          *[3]float64 // nil: not flat
	}{
		{"nothing", "", middle, &paper},
		{"a ground", "0 0 .2 0 k 0 0 200 200 re f", middle, &cream},
		{"beside it", "0 g 130 0 70 200 re f 0 0 70 200 re f", middle, &paper},
		{"its edge runs through", "0 g 100 0 100 200 re f", middle, nil},
		{"a plate on a picture", "q 200 0 0 200 0 0 cm /I Do Q 1 0 0 rg 70 70 60 60 re f", middle, &red},
		{"a picture on a plate", "1 0 0 rg 70 70 60 60 re f q 20 0 0 20 110 110 cm /I Do Q", middle, nil},
		{"a plate with round corners", "0 g 0 0 200 200 re f 1 0 0 rg 60 70 m 60 60 60 60 70 60 c 130 60 l 140 60 140 60 140 70 c 140 130 l 140 140 140 140 130 140 c 70 140 l 60 140 60 140 60 130 c h f", middle, &red},
		{"within a ring", ".25 g 0 0 200 200 re 40 40 120 120 re f*", middle, &paper},
		{"both turn alike", ".25 g 0 0 200 200 re 40 40 120 120 re f", middle, &dark},
		{"a frame's line around it", "2 w 20 20 160 160 re S", middle, &paper},
		{"a line across it", "2 w 0 100 m 200 100 l S", middle, nil},
		{"a line without width", "0 w 0 100 m 200 100 l S", middle, nil},
		{"half of it shows through", "/Half gs 0 g 0 0 200 200 re f", middle, nil},
		{"solid again", "/Half gs /Whole gs .25 g 0 0 200 200 re f", middle, &dark},
		{"overprinting", "/Over gs 0 0 .2 0 k 0 0 200 200 re f", middle, nil},
		{"clipped away", "q 0 0 50 50 re W n 0 g 0 0 200 200 re f Q", middle, &paper},
		{"clipped through", "q 0 0 100 100 re W n 0 g 0 0 200 200 re f Q", middle, nil},
		{"clipped around", "q 10 10 180 180 re W n 1 0 0 rg 0 0 200 200 re f Q", middle, &red},
		{"a shading", "/S sh", middle, nil},
		{"text on it", "BT /F 12 Tf 60 100 Td (abcdef) Tj ET", middle, nil},
		{"text above it", "BT /F 12 Tf 60 160 Td (abcdef) Tj ET", middle, &paper},
		{"letters as a clip", "BT 7 Tr /F 12 Tf 60 100 Td (abcdef) Tj ET 0 g 0 0 200 200 re f", middle, nil},
		{"a form", "q 3 0 0 3 10 10 cm /Form Do Q", middle, &red},
		{"a form elsewhere", "/Form Do", middle, &paper},
		{"a form turned so that its box runs through", "q 2 2 -2 2 100 20 cm /Form Do Q", Rect{20, 80, 60, 120}, nil},
		{"a form twice, and something in between", "q 3 0 0 3 10 10 cm /Form Do Q 0 g 0 0 200 200 re f q 3 0 0 3 10 10 cm /Form Do Q", middle, nil},
		{"white is left out", "0 g 0 0 200 200 re f /White cs 1 scn 0 0 200 200 re f", middle, &[3]float64{}},
		{"a spot", "/Plum cs .5 scn 0 0 200 200 re f", middle, &cream},
	} {
		path := onePage(t, "/MediaBox [0 0 200 200] /Contents 4 0 R /Resources << "+resources+" >>", witness.Stream("", c.content), "null", "null", "null", "null", image, form)
		f, err := Open(path, Options{})
		if err != nil {
			t.Fatal(err)
		}
		p, err := f.Page(1)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		size := p.Size()
		box := geometry.Box{
			Min: geometry.Position{Across: geometry.FromPoints(c.box[0]), Around: geometry.FromPoints(size.Around.Points() - c.box[3])},
			Max: geometry.Position{Across: geometry.FromPoints(c.box[2]), Around: geometry.FromPoints(size.Around.Points() - c.box[1])},
		}
		got := p.Ground(size, []geometry.Box{box})[0]
		want := Ground{}
		if c.look != nil {
			want = Ground{true, *c.look}
		}
		for i := range got.Look {
			if math.Abs(got.Look[i]-want.Look[i]) > 1e-6 {
				got.Flat = !want.Flat
			}
		}
		if got.Flat != want.Flat {
			t.Errorf("%s: %v, want %v", c.name, got, want)
		}
		f.Close()
	}
}
