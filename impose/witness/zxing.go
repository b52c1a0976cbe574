package witness

import (
	"fmt"
	"image"
	"image/color"
	"os"
	"path/filepath"
	"testing"
)

// NewZXing returns what reads a symbol of a format, by its name there, with ZXing-C++
// of a later version than Debian has, which knows DataBarLimited. It gives the
// texts that it finds.
func NewZXing(t testing.TB) func(img image.Image, format string) []string {
	t.Helper()
	folder := npmPackage(t, "zxing-wasm@3.1.6")
	return func(img image.Image, format string) []string {
		t.Helper()
		return node(t, folder, `
const z = require(folder + "/dist/cjs/reader/index.js");
z.prepareZXingModule({ overrides: { wasmBinary: fs.readFileSync(folder + "/dist/reader/zxing_reader.wasm") } });
const data = new Uint8ClampedArray(4 * width * height).fill(255);
grey.forEach((v, i) => data.fill(v, 4 * i, 4 * i + 3));
z.readBarcodes({ data, width, height }, { formats: [format], tryHarder: true }).then((l) => l.forEach((b) => console.log(b.text)));
`, img, format)
	}
}

// PDF417 returns what reads a PDF417 with the port of ZXing to JavaScript, which
// shares no code with ZXing-C++.
func PDF417(t testing.TB) func(img image.Image) []string {
	t.Helper()
	folder := npmPackage(t, "@zxing/library@0.21.3")
	return func(img image.Image) []string {
		t.Helper()
		return node(t, folder, `
const z = require(folder + "/umd/index.min.js");
try {
  const picture = new z.BinaryBitmap(new z.HybridBinarizer(new z.RGBLuminanceSource(grey, width, height)));
  console.log(new z.PDF417Reader().decode(picture, new Map([[z.DecodeHintType.TRY_HARDER, true]])).getText());
} catch (e) { if (!(e instanceof z.Exception)) throw e; }
`, img, "")
	}
}

// node runs a script on the grey of a picture, and gives the lines that it writes.
func node(t testing.TB, folder, script string, img image.Image, format string) []string {
	t.Helper()
	b := img.Bounds()
	pixels := make([]byte, 0, b.Dx()*b.Dy())
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			pixels = append(pixels, color.GrayModel.Convert(img.At(x, y)).(color.Gray).Y)
		}
	}
	raw := scratch(t, "symbol.grey")
	if err := os.WriteFile(raw, pixels, 0o600); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(filepath.Dir(raw), "read.cjs")
	head := fmt.Sprintf("const fs = require(\"fs\"), folder = %q, width = %d, height = %d, format = %q;\nconst grey = new Uint8ClampedArray(fs.readFileSync(%q));\n", folder, b.Dx(), b.Dy(), format, raw)
	if err := os.WriteFile(file, []byte(head+script), 0o600); err != nil {
		t.Fatal(err)
	}
	return lines(run(t, "node", file).stdout)
}
