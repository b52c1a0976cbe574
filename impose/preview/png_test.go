package preview

import (
	"bytes"
	"image/color"
	"image/png"
	"math"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
)

// TestPNG looks at the middle of each patch and at the ring of the register
// mark, in a picture of ten pixels a millimetre.
func TestPNG(t *testing.T) {
	f, l := sample(t)
	var b bytes.Buffer
	o := Options{Layout: l, Dimensions: true}
	if err := PNG(&b, f, inks, o, 254); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	at := func(across, around float64) color.RGBA {
		px := func(v float64) int { return int(math.Round((v + o.border(f.Size).MM()) * 10)) }
		return color.RGBAModel.Convert(img.At(px(across), px(around))).(color.RGBA)
	}
	for i, p := range patches {
		if got, want := at(5.5, float64(5*i)+3.5), parse(palette(inks).colour(paper, p)); got != want {
			t.Errorf("patch %d is %v, want %v", i+1, got, want)
		}
	}
	// Yellow over cyan, multiplied, is neither of them.
	over, cyan := at(35.5, 3.5), parse(palette(inks).colour(paper, draw.Solid("Cyan")))
	if over == cyan || over.G <= over.R || over.G <= over.B {
		t.Errorf("overprinted yellow on cyan is %v", over)
	}
	ring := uint8(255) // the darkest of a few pixels across the line
	for _, d := range []float64{-.1, 0, .1} {
		ring = min(ring, at(33+d, 12).R)
	}
	if inside := at(35, 12); ring > 190 || inside.R < 240 {
		t.Errorf("the ring is %d and its inside %v", ring, inside)
	}
	if err := PNG(&b, f, inks, o, 1e6); err == nil {
		t.Error("a picture of a million dots an inch was begun")
	}
}

// TestPictures turns artworks' pictures as the stations are turned.
func TestPictures(t *testing.T) {
	f, l := sample(t)
	var b bytes.Buffer
	if err := SVG(&b, f, inks, Options{Layout: l, Pictures: []string{`a"b.png`}, Bleed: geometry.Millimetre, Inline: true}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`<image id="art1" width="1" height="1" preserveAspectRatio="none" href="a&#34;b.png"/>`,
		`rotate(-90) translate(-16 -11) scale(32 22)"/>`, // 30 x 20 mm with 1 mm of bleed, upright
		`<g class="layer" data-layer="artwork">`, `class="station" id="station-1-1"`,
	} {
		if !bytes.Contains(b.Bytes(), []byte(want)) {
			t.Errorf("%s is missing in\n%s", want, b.String())
		}
	}
	if bytes.Contains(b.Bytes(), []byte(`width="50mm"`)) {
		t.Error("an inline picture has a size on paper")
	}
}
