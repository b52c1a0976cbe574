package witness

import (
	"image"
	"image/color"
	"image/draw"
	"slices"
	"testing"

	"github.com/boombuler/barcode"
	"github.com/boombuler/barcode/datamatrix"
	"github.com/boombuler/barcode/qr"
)

func TestScannersReadWhatIsThere(t *testing.T) {
	code, err := qr.Encode("Hollow Lane 7", qr.M, qr.Unicode)
	if err != nil {
		t.Fatal(err)
	}
	if got := Scan(t, framed(t, code)); !slices.Equal(got, []string{"QR-Code:Hollow Lane 7"}) {
		t.Errorf("QR: %q", got)
	}
	matrix, err := datamatrix.Encode("A7 quince")
	if err != nil {
		t.Fatal(err)
	}
	if got := ScanDataMatrix(t, framed(t, matrix)); got != "A7 quince" {
		t.Errorf("Data Matrix: %q", got)
	}
	if testing.Short() {
		return
	}
	empty := image.NewGray(image.Rect(0, 0, 60, 60))
	if got := Scan(t, empty); len(got) != 0 {
		t.Errorf("nothing there, read %q", got)
	}
	if got := ScanDataMatrix(t, empty); got != "" {
		t.Errorf("nothing there, read %q", got)
	}
}

// framed draws a symbol with six pixels a module on a wide white ground.
func framed(t *testing.T, code barcode.Barcode) image.Image {
	t.Helper()
	side := code.Bounds().Dx() * 6
	big, err := barcode.Scale(code, side, side)
	if err != nil {
		t.Fatal(err)
	}
	out := image.NewRGBA(image.Rect(0, 0, side+80, side+80))
	draw.Draw(out, out.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.Draw(out, image.Rect(40, 40, 40+side, 40+side), big, image.Point{}, draw.Src)
	return out
}
