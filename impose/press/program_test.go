package press_test

import (
	"bytes"
	"image"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/draw/typeface"
	"quoin/impose/ink"
	"quoin/impose/press"
	"quoin/impose/witness"
)

// shaped gives the texts of a line in a font, set at a place.
func shaped(t *testing.T, file, text string, around geometry.Length) (list []draw.Text) {
	t.Helper()
	face, err := typeface.Open(file, file)
	if err != nil {
		t.Fatal(err)
	}
	line, err := typeface.NewShaper([]*typeface.Face{face}).Line([]rune(text))
	if err != nil {
		t.Fatal(err)
	}
	at := 2 * mm
	for _, r := range line.Runs {
		face.Note(r.Set)
		list = append(list, draw.Text{
			Layer: draw.Data, Paint: draw.Solid("Tally"), Font: face.Font(), Set: r.Set, At: geometry.Position{Across: at, Around: around},
			Em: geometry.Size{Across: 4 * mm, Around: 4 * mm},
		})
		at += r.Wide * 4 * mm / face.Font().Em
	}
	return list
}

// A customer's fonts are embedded as subsets that say what their letters are, look
// as their outlines do in three renderers, and read as they were written.
func TestFontsOfFiles(t *testing.T) {
	lines := []struct{ font, text string }{
		{"C059-Roman", "office AVAST"}, {"NotoSans-Regular", "q\u0323\u0302 Straße"},
		{"NotoSansArabic-Regular", "مرحبا بالعالم"}, {"NotoSansDevanagari-Regular", "हिन्दी र्कि"}, {"DroidSansFallback", "日本語"},
	}
	var texts []draw.Text
	var outlines []draw.Item
	for i, l := range lines {
		texts = append(texts, shaped(t, witness.Font(t, l.font), l.text, geometry.Length(5+5*i)*mm)...)
	}
	for _, text := range texts {
		outlines = append(outlines, text.Fill())
	}
	path, plain := series(t, texts), outlined(t, outlines)
	witness.QPDFCheck(t, path)
	listed := witness.PDFFonts(t, path)
	if len(listed) != len(lines) {
		t.Fatalf("%d fonts:\n%s", len(listed), strings.Join(listed, "\n"))
	}
	for i, l := range listed {
		if !strings.Contains(l, "+"+lines[i].font) || !strings.Contains(l, "CID Type 0C       Identity-H       yes yes yes") {
			t.Error(l)
		}
	}
	read := strings.NewReplacer("\u202b", "", "\u202c", "", "\u200f", "").Replace(witness.PDFText(t, path))
	for _, l := range lines {
		if !strings.Contains(read, l.text) {
			t.Errorf("%q is read as\n%s", l.text, read)
		}
	}
	for name, draws := range map[string]func(path string) image.Image{
		"Poppler":     func(p string) image.Image { return witness.Poppler(t, p, 1, 300) },
		"MuPDF":       func(p string) image.Image { return witness.MuPDF(t, p, 1, 300) },
		"Ghostscript": func(p string) image.Image { return witness.Ghostscript(t, p, 1, 300) },
	} {
		// Letters are hinted by some, and fall between pixels otherwise than paths do.
		d := witness.Compare(draws(path), draws(plain), witness.Tolerance{Over: 96, Reach: 1})
		if d.Share > 0.0005 {
			t.Errorf("%s: %s", name, d)
		}
	}
	if info, err := os.Stat(path); err != nil || info.Size() > 40_000 {
		t.Errorf("five subsets of a few letters take %d bytes, %v", info.Size(), err)
	}
	first, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if second, err := os.ReadFile(series(t, texts)); err != nil || !bytes.Equal(first, second) {
		t.Error("the same text gives other bytes", err)
	}
}

// outlined writes the same frame as series does, with paths for the text.
func outlined(t *testing.T, items []draw.Item) string {
	t.Helper()
	var file bytes.Buffer
	w, err := press.New(&file, press.Setup{Inks: []ink.Ink{{Name: "Tally", Kind: ink.Spot, CMYK: [4]float64{0, 0, 0, 1}}}})
	if err != nil {
		t.Fatal(err)
	}
	strip := draw.Fill{Layer: draw.Marks, Paint: draw.Solid(ink.Yellow), Path: draw.Rectangle(geometry.Box{Max: geometry.Position{Across: 40 * mm, Around: mm}})}
	if err := w.Frame(draw.Frame{Size: geometry.Size{Across: 40 * mm, Around: 30 * mm}, Items: append([]draw.Item{strip}, items...)}); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "outlined.pdf")
	if err := os.WriteFile(path, file.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}
