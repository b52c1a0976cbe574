package witness

import (
	"fmt"
	"image"
	"image/color"
	"os"
	"testing"
)

func TestDrawingsAreRendered(t *testing.T) {
	path := scratch(t, "drawing.svg")
	drawing := `<svg xmlns="http://www.w3.org/2000/svg" width="25.4mm" height="12.7mm" viewBox="0 0 25.4 12.7"><rect x="2.54" y="2.54" width="5.08" height="5.08" fill="#f00"/></svg>`
	if err := os.WriteFile(path, []byte(drawing), 0o644); err != nil {
		t.Fatal(err)
	}
	renderers := map[string]func(testing.TB, string, float64) image.Image{"rsvg-convert": SVG}
	if !testing.Short() {
		renderers["inkscape"] = Inkscape
	}
	for name, render := range renderers {
		img := render(t, path, 100)
		if img.Bounds().Dx() != 100 || img.Bounds().Dy() != 50 {
			t.Fatalf("%s: %v, want 100 x 50 pixels", name, img.Bounds())
		}
		at := func(x, y int) string { return fmt.Sprint(color.NRGBAModel.Convert(img.At(x, y))) }
		if at(15, 15) != "{255 0 0 255}" || at(50, 15) != "{255 255 255 255}" {
			t.Errorf("%s: red %s, paper %s", name, at(15, 15), at(50, 15))
		}
	}
}
