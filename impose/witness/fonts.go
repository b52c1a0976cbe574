package witness

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
)

// The fonts that tests set text in, by the Debian packages that bring them.
var fontFiles = map[string]string{
	"/usr/share/fonts/truetype/noto/NotoSans-Regular.ttf":            "fonts-noto-core",
	"/usr/share/fonts/truetype/noto/NotoSansArabic-Regular.ttf":      "fonts-noto-core",
	"/usr/share/fonts/truetype/noto/NotoSansHebrew-Regular.ttf":      "fonts-noto-core",
	"/usr/share/fonts/truetype/noto/NotoSansDevanagari-Regular.ttf":  "fonts-noto-core",
	"/usr/share/fonts/truetype/noto/NotoSansThai-Regular.ttf":        "fonts-noto-core",
	"/usr/share/fonts-droid-fallback/truetype/DroidSansFallback.ttf": "fonts-droid-fallback",
	"/usr/share/fonts/opentype/urw-base35/C059-Roman.otf":            "fonts-urw-base35",
}

// Font returns the path of a font whose file name without its ending is given. One
// that is not installed skips the test, or fails it under CI.
func Font(t testing.TB, name string) string {
	t.Helper()
	for path, pkg := range fontFiles {
		if !strings.Contains(path, "/"+name+".") {
			continue
		}
		if _, err := os.Stat(path); err == nil {
			return path
		}
		missing := fmt.Sprintf("%s is not installed: apt-get install %s", path, pkg)
		if os.Getenv("CI") == "true" {
			t.Fatal(missing)
		}
		t.Skip(missing)
	}
	t.Fatalf("the font %s is in no list", name)
	return ""
}

// ShapedGlyph is a glyph as hb-shape places it, in units of the font.
type ShapedGlyph struct {
	Glyph   int `json:"g"`
	Cluster int `json:"cl"`
	Advance int `json:"ax"`
	Across  int `json:"dx"`
	Up      int `json:"dy"`
}

// HarfBuzz shapes text as one run of a script and a direction, "ltr" or "rtl";
// the script is four letters of ISO 15924.
func HarfBuzz(t testing.TB, font, text, script, direction string) []ShapedGlyph {
	t.Helper()
	r := run(t, "hb-shape", "--output-format=json", "--no-glyph-names", "--script="+script, "--direction="+direction, "--language=und", font, text)
	var list []ShapedGlyph
	if err := json.Unmarshal(r.stdout, &list); err != nil {
		t.Fatalf("hb-shape said %s: %v", r.stdout, err)
	}
	return list
}

// PDFText returns the text of a PDF as pdftotext reads it.
func PDFText(t testing.TB, path string) string {
	t.Helper()
	return string(run(t, "pdftotext", "-enc", "UTF-8", path, "-").stdout)
}

// PDFFonts returns the fonts of a PDF, a line each as pdffonts lists them: name,
// type, encoding, embedded, subset, with a map to Unicode, object.
func PDFFonts(t testing.TB, path string) []string {
	t.Helper()
	list := lines(run(t, "pdffonts", path).stdout)
	return list[min(2, len(list)):]
}
