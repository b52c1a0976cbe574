package typeface

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"golang.org/x/image/font/gofont/goregular"

	"quoin/geometry"
	"quoin/impose/witness"
)

func opened(t testing.TB, name string) *Face {
	t.Helper()
	path := witness.Font(t, name)
	f, err := Open(path, path)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func built(t testing.TB) *Face {
	t.Helper()
	f, err := New("Go.ttf", goregular.TTF)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Glyphs and their places are those of HarfBuzz itself, of which the library is
// a port in another language.
func TestShapesAsHarfBuzz(t *testing.T) {
	for _, c := range []struct{ font, text, script, direction string }{
		{"C059-Roman", "office fi AVAST To", "latn", "ltr"},
		{"NotoSans-Regular", "e\u0301 n\u0303 q\u0323\u0302 ffi", "latn", "ltr"},
		{"NotoSansArabic-Regular", "مرحبا بالعالم", "arab", "rtl"},
		{"NotoSansArabic-Regular", "لا إله مُحَمَّد", "arab", "rtl"},
		{"NotoSansHebrew-Regular", "שָׁלוֹם עולם", "hebr", "rtl"},
		{"NotoSansDevanagari-Regular", "नमस्ते हिन्दी क्षत्रिय र्कि", "deva", "ltr"},
		{"NotoSansThai-Regular", "น้ำที่ปั่น", "thai", "ltr"},
		{"DroidSansFallback", "中文标签日本語", "hani", "ltr"},
	} {
		face := opened(t, c.font)
		line, err := NewShaper([]*Face{face}).Line([]rune(c.text))
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		var got, want []string
		var from geometry.Length
		for _, r := range line.Runs {
			for _, s := range r.Set {
				got = append(got, fmt.Sprint(s.Glyph, int64((from+s.At.Across)/parts), int64(-s.At.Around/parts)))
			}
			from += r.Wide
		}
		at := 0
		for _, g := range witness.HarfBuzz(t, witness.Font(t, c.font), c.text, c.script, c.direction) {
			want = append(want, fmt.Sprint(g.Glyph, at+g.Across, g.Up))
			at += g.Advance
		}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%s in %s:\n%v, HarfBuzz\n%v", c.text, c.font, got, want)
		}
	}
}

// Runs stand in the order in which they are seen. The orders are those of fribidi
// 1.0.8, upper case standing for Hebrew letters.
func TestMixedDirections(t *testing.T) {
	faces := []*Face{built(t), opened(t, "NotoSansHebrew-Regular")}
	hebrew := []rune("אבגדהוזחטיךכלםמןנסעףפץצקרש")
	to := func(text string) string {
		return strings.Map(func(r rune) rune {
			if r >= 'A' && r <= 'Z' {
				return hebrew[r-'A']
			}
			return r
		}, text)
	}
	for text, want := range map[string]string{
		"abc SHALOM def":         "abc MOLAHS def",
		"abc SHALOM 12.5 kg (x)": "abc 12.5 MOLAHS kg (x)",
		"SHALOM 2026":            "2026 MOLAHS",
		"SHALOM abc 12 def OLAM": "MALO abc 12 def MOLAHS",
		"12 SHALOM":              "MOLAHS 12",
	} {
		line, err := NewShaper(faces).Line([]rune(to(text)))
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, r := range line.Runs {
			for _, s := range r.Set {
				got += s.Says
			}
		}
		if got != to(want) {
			t.Errorf("%s is seen as %q, want %q", text, got, to(want))
		}
	}
}

func TestMissingLetter(t *testing.T) {
	_, err := NewShaper([]*Face{built(t)}).Line([]rune("Lot ก 7"))
	var m *Missing
	if !errors.As(err, &m) || m.Letter != 'ก' {
		t.Error(err)
	}
}

// Lines are no wider than the room, break at spaces only, lose nothing, and are
// as few as can be: no first word of a line would go on the one before.
func TestWrap(t *testing.T) {
	s := NewShaper([]*Face{built(t)})
	text := "Keep cool and dry. Shake well before opening;\ndrink within three days."
	said := func(l Line) (out string) {
		for _, r := range l.Runs {
			for _, g := range r.Set {
				out += g.Says
			}
		}
		return out
	}
	for _, room := range []geometry.Length{6, 8, 12, 20, 60} {
		lines, wide, err := s.Wrap([]rune(text), room*Unit)
		if err != nil || wide != 0 {
			t.Fatal(wide, err)
		}
		var all []string
		for _, l := range lines {
			if l.Wide > room*Unit {
				t.Errorf("%q is %d wide in a room of %d", said(l), l.Wide, room*Unit)
			}
			all = append(all, said(l))
		}
		if got := strings.Join(all, " "); got != strings.ReplaceAll(text, "\n", " ") {
			t.Errorf("%q in a room of %d", got, room)
		}
		for i, line := range all[1:] {
			word, _, _ := strings.Cut(line, " ")
			longer, err := s.Line([]rune(all[i] + " " + word))
			if err != nil {
				t.Fatal(err)
			}
			if word != "drink" && longer.Wide <= room*Unit {
				t.Errorf("%q would go behind %q", word, all[i])
			}
		}
	}
	if _, wide, err := s.Wrap([]rune("a pharmaceutical"), 4*Unit); err != nil || wide <= 4*Unit {
		t.Error("a word wider than the room fits", wide, err)
	}
}

// What is no font, and what may not be embedded, is refused.
func TestRefusedFonts(t *testing.T) {
	spoil := func(rights uint16) []byte {
		b := append([]byte(nil), goregular.TTF...)
		for i := 12; ; i += 16 {
			if string(b[i:i+4]) == "OS/2" {
				at := int(b[i+8])<<24 | int(b[i+9])<<16 | int(b[i+10])<<8 | int(b[i+11])
				b[at+8], b[at+9] = byte(rights>>8), byte(rights)
				return b
			}
		}
	}
	for want, data := range map[string][]byte{
		"no TrueType":                []byte("not a font at all"),
		"forbids embedding it":       spoil(2),
		"embedding a part":           spoil(0x100),
		"is no TrueType or OpenType": goregular.TTF[:2000],
	} {
		if _, err := New("x.ttf", data); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %s", err, want)
		}
	}
	for _, rights := range []uint16{0, 4, 8, 0xa} {
		if _, err := New("x.ttf", spoil(rights)); err != nil {
			t.Error(rights, err)
		}
	}
}
