package witness

import (
	"bytes"
	"image"
	"os"
	"path/filepath"
	"testing"

	"golang.org/x/image/tiff"
)

// TestGreyTIFF: what a library writes is read as it was, and neither a file that is
// cut off nor another kind is.
func TestGreyTIFF(t *testing.T) {
	want := image.NewGray(image.Rect(0, 0, 31, 17))
	for i := range want.Pix {
		want.Pix[i] = uint8(i * 7)
	}
	path := filepath.Join(t.TempDir(), "plate.tif")
	put := func(img image.Image, compressed tiff.CompressionType, cut int) {
		var b bytes.Buffer
		if err := tiff.Encode(&b, img, &tiff.Options{Compression: compressed}); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, b.Bytes()[:b.Len()-cut], 0o666); err != nil {
			t.Fatal(err)
		}
	}
	put(want, tiff.Uncompressed, 0)
	got, err := greyTIFF(path)
	if err != nil || got.Rect != want.Rect || !bytes.Equal(got.Pix, want.Pix) {
		t.Errorf("the picture is another: %v", err)
	}
	for _, c := range []struct {
		what       string
		img        image.Image
		compressed tiff.CompressionType
		cut        int
	}{{"cut", want, tiff.Uncompressed, 40}, {"deflated", want, tiff.Deflate, 0}, {"coloured", image.NewRGBA(want.Rect), tiff.Uncompressed, 0}} {
		put(c.img, c.compressed, c.cut)
		if _, err := greyTIFF(path); err == nil {
			t.Errorf("%s: no complaint", c.what)
		}
	}
}
