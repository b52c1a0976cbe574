package lettering_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"pgregory.net/rapid"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
	"quoin/impose/say"
)

const mm = geometry.Millimetre

func set(t testing.TB, f *lettering.Face, text string, height geometry.Length, turn geometry.Turn) lettering.Text {
	t.Helper()
	line, err := f.Set(text, height, turn)
	if err != nil {
		t.Fatal(err)
	}
	return line
}

func TestCapitalHasTheHeightAskedFor(t *testing.T) {
	for _, f := range []*lettering.Face{lettering.Regular(), lettering.Bold(), lettering.Mono()} {
		for _, height := range []geometry.Length{mm, 1_600_000, 3_333_333, 25 * mm} {
			b := set(t, f, "H", height, geometry.Turn0).Path.Bounds()
			if b.Min.Around != -height || b.Max.Around != 0 {
				t.Errorf("an H of %s reaches from %s to %s", height, b.Min.Around, b.Max.Around)
			}
		}
	}
}

// The advance widths in the hmtx table of Go Regular, read from its bytes by a
// few lines of another language: H 1479, space 569, I 817 units. A capital is
// 1480 units high.
func TestWidthIsTheSumOfAdvances(t *testing.T) {
	line := set(t, lettering.Regular(), "H I", 1_480_000, geometry.Turn0)
	if want := geometry.Length(1_000 * (1479 + 569 + 817)); line.Width != want {
		t.Errorf("H I is %s wide, want %s", line.Width, want)
	}
}

func TestTurnedTextReadsTheRightWay(t *testing.T) {
	for _, c := range []struct {
		turn geometry.Turn
		want string // the corner that the stem of the L stands on, and where its foot points
	}{
		{geometry.Turn0, "stem up, foot right"},
		{geometry.Turn90, "stem left, foot up"},
		{geometry.Turn180, "stem down, foot left"},
		{geometry.Turn270, "stem right, foot down"},
	} {
		b := set(t, lettering.Regular(), "L", 10*mm, c.turn).Path.Bounds()
		var got string
		switch {
		case b.Max.Around == 0 && b.Min.Across > 0:
			got = "stem up, foot right"
		case b.Max.Across == 0 && b.Max.Around < 0:
			got = "stem left, foot up"
		case b.Min.Around == 0 && b.Max.Across < 0:
			got = "stem down, foot left"
		case b.Min.Across == 0 && b.Min.Around > 0:
			got = "stem right, foot down"
		}
		if got != c.want {
			t.Errorf("turned by %s: %q, want %q (bounds %v)", c.turn, got, c.want, b)
		}
	}
}

func TestAtPutsTheBoxThere(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		turn := geometry.Turn(rapid.IntRange(0, 3).Draw(rt, "turn"))
		at := geometry.Position{
			Across: geometry.Length(rapid.Int64Range(-1e9, 1e9).Draw(rt, "across")),
			Around: geometry.Length(rapid.Int64Range(-1e9, 1e9).Draw(rt, "around")),
		}
		line, err := lettering.Bold().Set("HIH", 2*mm, turn)
		if err != nil {
			rt.Fatal(err)
		}
		box := geometry.BoxAt(at, line.Box().Size())
		if got := line.At(at).Bounds(); !box.Contains(got) {
			rt.Fatalf("letters in %v stand outside their box %v", got, box)
		}
	})
}

func TestMissingGlyphIsAnError(t *testing.T) {
	_, err := lettering.Regular().Set("Tee 茶 und 水, 茶", 2*mm, geometry.Turn0)
	if err == nil || !strings.HasSuffix(err.Error(), "without a glyph: '茶' (U+8336), '水' (U+6C34)") || say.Hint(err) == "" {
		t.Fatalf("got %v, want the two characters that have no glyph", err)
	}
	if got := lettering.Regular().Missing("Größe Ł Ж Ω € 1/2 ½ · ×"); len(got) > 0 {
		t.Errorf("no glyph for %q", got)
	}
}

func TestHeightMustBePositive(t *testing.T) {
	if _, err := lettering.Regular().Set("A", 0, geometry.Turn0); err == nil {
		t.Error("text without height was set")
	}
}

// The package leaves kerning out because there is none; a new version of the
// fonts that brings some has to be noticed.
func TestFontsCarryNoKerning(t *testing.T) {
	f, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		t.Fatal(err)
	}
	var buf sfnt.Buffer
	for _, pair := range []string{"AV", "To", "LT", "Wa", "P,"} {
		a, _ := f.GlyphIndex(&buf, rune(pair[0]))
		b, _ := f.GlyphIndex(&buf, rune(pair[1]))
		if k, err := f.Kern(&buf, a, b, fixed.I(2048), font.HintingNone); err == nil && k != 0 {
			t.Errorf("%s is kerned by %v", pair, k)
		}
	}
}

var update = flag.Bool("update", os.Getenv("UPDATE") == "1", "rewrite the golden files (or UPDATE=1)")

func TestOutlines(t *testing.T) {
	var items []draw.Item
	for turn := geometry.Turn0; turn <= geometry.Turn270; turn++ {
		for _, text := range []string{"I", "L", "o", "Frame 12"} {
			line := set(t, lettering.Regular(), text, 2*mm, turn)
			items = append(items, draw.Fill{Layer: draw.Slug, Path: line.Path, Paint: draw.Solid(text)})
		}
	}
	golden(t, "outlines.txt", draw.Notation(items))
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll("testdata", 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; UPDATE=1 writes it", err)
	}
	if got != string(want) {
		t.Errorf("%s differs; UPDATE=1 rewrites it, then read the diff\ngot:\n%s", path, got)
	}
}
