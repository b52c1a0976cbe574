package preview

import (
	"bytes"
	"encoding/xml"
	"flag"
	"image"
	"image/color"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/witness"
)

const mm = geometry.Millimetre

var update = flag.Bool("update", os.Getenv("UPDATE") == "1", "rewrite the golden files (or UPDATE=1)")

var inks = []ink.Ink{
	{Name: ink.Cyan, Kind: ink.Process, CMYK: [4]float64{1, 0, 0, 0}},
	{Name: ink.Yellow, Kind: ink.Process, CMYK: [4]float64{0, 0, 1, 0}},
	{Name: ink.Black, Kind: ink.Process, CMYK: [4]float64{0, 0, 0, 1}},
	{Name: "White", Kind: ink.White},
}

func box(across, around, wide, long geometry.Length) geometry.Box {
	return geometry.BoxAt(geometry.Position{Across: across, Around: around}, geometry.Size{Across: wide, Around: long})
}

// sample is a frame of one label, turned, and a row of patches of 5 mm.
func sample(t *testing.T) (draw.Frame, *geometry.Layout) {
	l, err := geometry.Plan(geometry.Request{
		Web: geometry.Web{Width: 40 * mm, Edge: 2 * mm, TargetLane: 6 * mm}, Label: geometry.Size{Across: 30 * mm, Around: 20 * mm},
		Gap: geometry.Size{Around: 4 * mm}, Bleed: 1 * mm, Repeat: geometry.Repeat{Max: 40 * mm}, Turns: []geometry.Turn{geometry.Turn90},
	})
	if err != nil {
		t.Fatal(err)
	}
	f := draw.Frame{Size: geometry.Size{Across: 40 * mm, Around: l.Repeat}}
	for _, s := range l.Station {
		f.Items = append(f.Items, draw.Place{Trim: s.Trim, Turn: s.Turn, Clip: draw.Rectangle(s.Clip)})
	}
	for i, p := range patches {
		f.Items = append(f.Items, draw.Fill{Layer: draw.Targets, Path: draw.Rectangle(box(3*mm, geometry.Length(5*i+1)*mm, 5*mm, 5*mm)), Paint: p})
	}
	f.Items = append(f.Items,
		draw.Fill{Layer: draw.White, Path: draw.Rectangle(box(33*mm, 1*mm, 5*mm, 5*mm)), Paint: draw.Solid("Cyan")},
		draw.Fill{Layer: draw.White, Path: draw.Rectangle(box(33*mm, 1*mm, 5*mm, 5*mm)), Paint: draw.Paint{Tints: draw.Solid("Yellow").Tints, Overprint: true}},
		draw.Stroke{Layer: draw.Marks, Path: draw.Ellipse(box(33*mm, 10*mm, 4*mm, 4*mm)), Width: 100_000, Paint: draw.Together("Cyan", "Black")})
	return f, l
}

var patches = []draw.Paint{
	draw.Solid("Cyan"), draw.Paint{Tints: []draw.Tint{{Ink: "Yellow", Amount: .5}}}, draw.Together("Cyan", "Yellow"), draw.Together("Black", "White"),
}

func TestSVG(t *testing.T) {
	f, l := sample(t)
	var got bytes.Buffer
	if err := SVG(&got, f, inks, Options{Layout: l}); err != nil {
		t.Fatal(err)
	}
	for d := xml.NewDecoder(bytes.NewReader(got.Bytes())); ; {
		if _, err := d.Token(); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join("testdata", "sample.svg")
	if *update {
		if err := os.MkdirAll("testdata", 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; UPDATE=1 writes it", err)
	}
	if !bytes.Equal(got.Bytes(), want) {
		t.Errorf("%s differs; UPDATE=1 rewrites it, then look at the picture", path)
	}
}

// A renderer that shares no code with quoin finds each patch at its place, in
// the colour that the inks' looks make by hand.
func TestRenderedPatches(t *testing.T) {
	tool := witness.Need(t, "rsvg-convert")
	f, l := sample(t)
	var svg, picture bytes.Buffer
	if err := SVG(&svg, f, inks, Options{Layout: l}); err != nil {
		t.Fatal(err)
	}
	const perMM = 10
	cmd := exec.Command(tool, "--dpi-x=254", "--dpi-y=254")
	cmd.Stdin, cmd.Stdout = &svg, &picture
	if err := cmd.Run(); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&picture)
	if err != nil {
		t.Fatal(err)
	}
	if want := image.Pt(50*perMM, int((l.Repeat+10*mm)/mm)*perMM); img.Bounds().Size() != want {
		t.Fatalf("the picture has %v pixels, want %v", img.Bounds().Size(), want)
	}
	// Paper 251, 250, 246; cyan's look is 0, 0.62, 0.88 and yellow's 1, 0.93, 0.
	for _, c := range []struct {
		across, around float64
		want           color.RGBA
	}{
		{5.5, 3.5, color.RGBA{0, 155, 217, 255}},
		{5.5, 8.5, color.RGBA{251, 241, 123, 255}},
		{5.5, 13.5, color.RGBA{0, 144, 0, 255}},
		{5.5, 18.5, color.RGBA{255, 255, 255, 255}},
		{35.5, 3.5, color.RGBA{0, 144, 0, 255}}, // yellow over cyan, by overprint
	} {
		got := color.RGBAModel.Convert(img.At(int((c.across+5)*perMM), int((c.around+5)*perMM))).(color.RGBA)
		if far(got.R, c.want.R) || far(got.G, c.want.G) || far(got.B, c.want.B) {
			t.Errorf("at %g,%g mm the picture is %v, want %v", c.across, c.around, got, c.want)
		}
	}
}

// far allows for rounding, and for a blend that starts from the paper twice.
func far(a, b uint8) bool { return max(a, b)-min(a, b) > 5 }

func TestWriteErrorIsReported(t *testing.T) {
	f, l := sample(t)
	if err := SVG(broken{}, f, inks, Options{Layout: l}); err == nil {
		t.Error("a failed write went unnoticed")
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }
