package raster

import (
	"context"
	"image/color"
	"os"
	"path/filepath"
	"testing"

	"quoin/geometry/trials"
	"quoin/impose/say"
	"quoin/impose/witness"
)

// TestPage draws a page of 72 x 36 pt with a red left half and looks at it.
func TestPage(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a renderer")
	}
	pdf, err := os.ReadFile(witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 72 36] /Resources << >> /Contents 4 0 R >>",
		witness.Stream("", "1 0 0 rg 0 0 36 36 re f"),
	))
	if err != nil {
		t.Fatal(err)
	}
	said := 0
	if trials.Long() { // half a minute of compiling
		t.Setenv("XDG_CACHE_HOME", t.TempDir())
	}
	for range 2 {
		r, err := New(context.Background(), func(string) { said++ })
		if err != nil {
			t.Fatal(err)
		}
		img, err := r.Page(pdf, 144)
		if err != nil {
			t.Fatal(err)
		}
		if b := img.Bounds(); b.Dx() != 144 || b.Dy() != 72 {
			t.Fatalf("the picture is %v, want 144 x 72 pixels", b)
		}
		for x, want := range map[int]color.NRGBA{10: {255, 0, 0, 255}, 130: {255, 255, 255, 255}} {
			if got := color.NRGBAModel.Convert(img.At(x, 36)); got != want {
				t.Errorf("pixel %d is %v, want %v", x, got, want)
			}
		}
		if _, err := r.Page(pdf, 100_000); err == nil || say.Hint(err) == "" {
			t.Errorf("a huge picture: %v", err)
		}
		if _, err := r.Page([]byte("no PDF"), 72); err == nil {
			t.Error("what is no PDF was drawn")
		}
		if err := r.Close(); err != nil {
			t.Error(err)
		}
	}
	if said > 1 || trials.Long() && said == 0 {
		t.Errorf("the first start was announced %d times, want once", said)
	}
}

// TestFirstStart: what is kept in the cache is not compiled again.
func TestFirstStart(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("XDG_CACHE_HOME", dir)
	for _, want := range []bool{true, false} {
		cache, first := compiled()
		if first != want {
			t.Errorf("the first start is %v, want %v", first, want)
		}
		if err := cache.Close(context.Background()); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "quoin", "renderer", "module"), nil, 0o666); err != nil {
			t.Fatal(err)
		}
	}
}
