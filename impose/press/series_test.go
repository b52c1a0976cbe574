package press_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
	"quoin/impose/ink"
	"quoin/impose/press"
	"quoin/impose/witness"
)

const mm = geometry.Millimetre

// blocks is a font whose only glyph is a square em above the baseline, with
// the code that has to be escaped in every way: parentheses, backslash and
// carriage return are glyphs too.
func blocks() *draw.Font {
	f := &draw.Font{Name: "blocks", Em: 1000, Leading: 2000, Glyphs: make([]draw.Glyph, 256)}
	box := draw.Rectangle(geometry.Box{Min: geometry.Position{Around: -1000}, Max: geometry.Position{Across: 1000}})
	for _, code := range `()\` + "\r\n\x00\xff" {
		f.Glyphs[byte(code)] = draw.Glyph{Advance: 1000, Path: box}
	}
	f.Glyphs[' '].Advance = 1000
	return f
}

func textAt(f *draw.Font, codes string, line int, turn geometry.Turn, across, around geometry.Length) draw.Text {
	return draw.Text{
		Layer: draw.Data, Paint: draw.Solid("Tally"), Font: f, Codes: []byte(codes), Line: line, Turn: turn,
		At: geometry.Position{Across: across, Around: around}, Em: geometry.Size{Across: mm, Around: mm},
	}
}

func series(t *testing.T, texts ...[]draw.Text) string {
	t.Helper()
	var fonts []*draw.Font
	for _, frame := range texts {
		for _, text := range frame {
			if !slices.Contains(fonts, text.Font) {
				fonts = append(fonts, text.Font)
			}
		}
	}
	var file bytes.Buffer
	w, err := press.New(&file, press.Setup{Inks: []ink.Ink{{Name: "Tally", Kind: ink.Spot, CMYK: [4]float64{0, 0, 0, 1}}}})
	if err != nil {
		t.Fatal(err)
	}
	s, err := w.Series(geometry.Size{Across: 40 * mm, Around: 30 * mm}, []draw.Paint{draw.Solid("Tally")}, fonts)
	if err != nil {
		t.Fatal(err)
	}
	beneath, err := s.Keep([]draw.Item{draw.Fill{
		Layer: draw.Marks, Paint: draw.Solid(ink.Yellow),
		Path: draw.Rectangle(geometry.Box{Max: geometry.Position{Across: 40 * mm, Around: mm}}),
	}})
	if err != nil {
		t.Fatal(err)
	}
	above, err := s.Keep(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, frame := range texts {
		content, err := s.Renderer().Render(frame)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Add(beneath, nil, content, above, press.About{Frame: 1, Lanes: [][3]int64{{1, 1, 2}}}); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "series.pdf")
	if err := os.WriteFile(path, file.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// Every turn of a text, every byte that a string must escape, and lines: dark
// pixels must stand where the outlines of the same text have them.
func TestSeriesDrawsWhatOutlinesSay(t *testing.T) {
	f := blocks()
	frames := [][]draw.Text{
		{textAt(f, "( )\\ \r", 3, geometry.Turn0, 5*mm, 5*mm), textAt(f, "\n \x00", 0, geometry.Turn90, 20*mm, 20*mm)},
		{textAt(f, "\xff ((", 2, geometry.Turn180, 20*mm, 20*mm), textAt(f, ") \\", 1, geometry.Turn270, 30*mm, 10*mm)},
	}
	path := series(t, frames...)
	witness.QPDFCheck(t, path)
	const perMM = 10
	for n, frame := range frames {
		page := witness.MuPDF(t, path, n+1, 25.4*perMM)
		want := map[[2]int]bool{}
		for _, text := range frame {
			p := text.Fill().Path
			for i := 0; i < len(p.Points); i += 4 { // boxes, one for each glyph
				b := draw.Path{Verbs: p.Verbs[:5], Points: p.Points[i : i+4]}.Bounds()
				for x := b.Min.Across / (mm / perMM); x < b.Max.Across/(mm/perMM); x++ {
					for y := b.Min.Around / (mm / perMM); y < b.Max.Around/(mm/perMM); y++ {
						want[[2]int{int(x), int(y)}] = true
					}
				}
			}
		}
		if len(want) < 300 {
			t.Fatalf("only %d pixels are expected", len(want))
		}
		for y := perMM; y < 30*perMM; y++ { // the first millimetre is the kept strip
			for x := range 40 * perMM {
				r, _, _, _ := page.At(x, y).RGBA()
				if dark := r < 0x8000; dark != want[[2]int{x, y}] {
					t.Fatalf("frame %d, pixel %d,%d: dark %v", n+1, x, y, dark)
				}
			}
		}
		if _, _, b, _ := page.At(200, 5).RGBA(); b > 0x8000 {
			t.Errorf("frame %d: what is kept is not there", n+1)
		}
	}
}

// Letters keep their meaning, so that a text can be searched and checked.
func TestSeriesTextCanBeRead(t *testing.T) {
	f := lettering.Mono()
	path := series(t, []draw.Text{textAt(f.Font('A'), "Lot 4711 (A)", 0, geometry.Turn0, 5*mm, 15*mm)})
	out, err := exec.Command(witness.Need(t, "pdftotext"), path, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.TrimSpace(string(out)); got != "Lot 4711 (A)" {
		t.Errorf("read as %q", got)
	}
}

func TestSeriesRefusesWhatItWasNotBegunWith(t *testing.T) {
	var file bytes.Buffer
	w, err := press.New(&file, press.Setup{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := w.Series(geometry.Size{Across: mm, Around: mm}, []draw.Paint{draw.Solid(ink.Black)}, nil)
	if err != nil {
		t.Fatal(err)
	}
	text := textAt(blocks(), "(", 0, geometry.Turn0, 0, 0)
	if _, err := s.Renderer().Render([]draw.Text{text}); err == nil || !strings.Contains(err.Error(), "Tally") {
		t.Errorf("a strange ink: %v", err)
	}
	text.Paint = draw.Solid(ink.Black)
	if _, err := s.Renderer().Render([]draw.Text{text}); err == nil || !strings.Contains(err.Error(), "blocks") {
		t.Errorf("a strange font: %v", err)
	}
}
