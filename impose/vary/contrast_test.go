package vary_test

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/draw"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/ink"
	"quoin/impose/press"
	"quoin/impose/vary"
	"quoin/impose/witness"
)

// Worked by hand with the looks of impose/ink: black on paper has a contrast of
// 1 - 0.012, as red light comes back from 0.11 of sRGB; yellow gives all of it
// back; black on black is nothing.
func TestContrast(t *testing.T) {
	looks := map[string][3]float64{ink.Black: {0.11, 0.11, 0.11}, ink.Yellow: {1, 0.93, 0}, "White": {1, 1, 1}, "Warm Grey": {0.8, 0.8, 0.8}}
	ground := func(c color.Color) image.Image {
		img := image.NewRGBA(image.Rect(0, 0, 380, 500)) // 36 x 48 mm with a bleed of 1 mm at 10 pixels a millimetre
		draw.Draw(img, img.Bounds(), image.NewUniform(c), image.Point{}, draw.Src)
		return img
	}
	half := ground(color.White) // black where the symbol isn't
	draw.Draw(half.(*image.RGBA), image.Rect(0, 400, 380, 500), image.Black, image.Point{}, draw.Src)
	for _, c := range []struct {
		ink, want string
		label     image.Image
		warned    bool
	}{
		{ink.Black, "", ground(color.White), false},
		{ink.Black, "", half, false},
		{ink.Yellow, "less than the 20 % that any grade asks for", ground(color.White), false},
		{ink.Black, "contrast of 0 %", ground(color.Black), false},
		{"White", "lighter than what is beneath it", ground(color.Black), false},
		{"Warm Grey", "", ground(color.RGBA{255, 255, 255, 255}), true},
		{ink.Black, "", ground(color.RGBA{255, 0, 0, 255}), false}, // red is white to a scanner
	} {
		f := qrField()
		f.Ink = c.ink
		r := prepare(t, plan(t, 3, f, textField()))
		boxes, arts := r.Symbols()
		if len(boxes) != 1 || len(arts) != 1 {
			t.Fatalf("%v symbols on %v", boxes, arts)
		}
		light := vary.LightOf(c.label, geometry.Size{Across: 36 * mm, Around: 48 * mm}, mm, boxes[0])
		notes, err := r.Contrast([]vary.Light{light}, func(name string) [3]float64 { return looks[name] })
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s: %v, want %q", c.ink, err, c.want)
		}
		if (len(notes) > 0) != c.warned {
			t.Errorf("%s: %v", c.ink, notes)
		}
	}
}

// On an underprint of the artwork's shape, letters take the white along, and a
// symbol stands on a box of it, but for the stations that stay blank.
func TestUnderprintTakesFieldsAlong(t *testing.T) {
	witness.Need(t, "gs")
	f := qrField()
	f.At = geometry.Position{Across: 8 * mm, Around: 10 * mm}
	p := plan(t, 15, textField(), f)
	p.Under = []string{"White"}
	p.Setup = press.Setup{Inks: []ink.Ink{{Name: ink.Black, Kind: ink.Process}, {Name: "White", Kind: ink.White}}}
	r := prepare(t, p)
	var file, book bytes.Buffer
	if err := r.WriteFrames(context.Background(), &file, &book, 0, r.Order.Frames(), nil); err != nil {
		t.Fatal(err)
	}
	plate := witness.Plates(t, save(t, "run.pdf", file.Bytes()), 1, 100)["White"]
	px := func(l geometry.Length) int { return int(l * 100 / geometry.Inch) }
	dark := func(b geometry.Box) (n int) {
		for y := px(b.Min.Around); y < px(b.Max.Around); y++ {
			for x := px(b.Min.Across); x < px(b.Max.Across); x++ {
				if c, _, _, _ := plate.At(x, y).RGBA(); c > 0x8000 {
					n++
				}
			}
		}
		return n
	}
	for _, e := range entries(t, book.Bytes()) {
		trim := station(t, p.Layout, e.lane, e.row)
		code := geometry.BoxAt(trim.Min.Add(geometry.Size{Across: 9 * mm, Around: 11 * mm}), geometry.Size{Across: 14 * mm, Around: 14 * mm})
		letters := geometry.BoxAt(trim.Min.Add(geometry.Size{Across: 3 * mm, Around: 3 * mm}), geometry.Size{Across: 17 * mm, Around: 2 * mm})
		all := (px(code.Max.Across) - px(code.Min.Across)) * (px(code.Max.Around) - px(code.Min.Around))
		switch n, m := dark(code), dark(letters); {
		case e.state == "blank" && n+m > 0:
			t.Errorf("white on the blank station in lane %d, row %d", e.lane, e.row)
		case e.state == "printed" && n != all:
			t.Errorf("lane %d, row %d: %d pixels of white beneath the symbol of %d", e.lane, e.row, n, all)
		case e.state == "printed" && (m < 20 || m > 1500):
			t.Errorf("lane %d, row %d: %d pixels of white beneath the letters", e.lane, e.row, m)
		}
	}
}
