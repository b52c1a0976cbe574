package witness

import (
	"image"
	"image/png"
	"os"
	"strings"
	"testing"
)

// Scan reads the symbols in a picture with zbarimg, as "EAN-13:9501101530003"
// or "QR-Code:...", in no particular order. None is an empty list, no failure.
// A module should be two pixels or more.
func Scan(t testing.TB, img image.Image) []string {
	t.Helper()
	path := write(t, img)
	r := try(t, "zbarimg", "-q", path)
	// 4 says that there was no symbol.
	if r.exit != 0 && r.exit != 4 {
		t.Fatalf("zbarimg ended with exit code %d:\n%s", r.exit, r.stderr)
	}
	return lines(r.stdout)
}

// ScanDataMatrix reads one Data Matrix symbol in a picture with dmtxread; ""
// if there is none. A module should be four pixels or more.
func ScanDataMatrix(t testing.TB, img image.Image) string {
	t.Helper()
	path := write(t, img)
	// One symbol, and no more than ten seconds of searching for it.
	r := try(t, "dmtxread", "-N1", "-m10000", path)
	if r.exit != 0 && r.exit != 1 {
		t.Fatalf("dmtxread ended with exit code %d:\n%s", r.exit, r.stderr)
	}
	return string(r.stdout)
}

func write(t testing.TB, img image.Image) string {
	t.Helper()
	path := scratch(t, "symbols.png")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	plain := png.Encoder{CompressionLevel: png.NoCompression} // it is read once
	if err := plain.Encode(f, img); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

func lines(out []byte) []string {
	return strings.FieldsFunc(string(out), func(r rune) bool { return r == '\n' || r == '\r' })
}

// ZXing reads the symbols in a picture with ZXing-C++, which says separators as
// <GS>; they come back as such bytes. None is an empty list, no failure.
func ZXing(t testing.TB, img image.Image) (list []string) {
	t.Helper()
	path := write(t, img)
	r := try(t, "ZXingReader", "-1", "-escape", path)
	if r.exit < 0 || r.exit > 1 { // version 1.4 breaks off where a stacked DataBar is found twice
		r = try(t, "ZXingReader", "-1", "-escape", "-ispure", path)
	}
	for _, line := range lines(r.stdout) {
		if _, text, ok := strings.Cut(line, `"`); ok {
			text, _, _ = strings.Cut(text, `"`)
			list = append(list, strings.ReplaceAll(text, "<GS>", "\x1d"))
		}
	}
	return list
}
