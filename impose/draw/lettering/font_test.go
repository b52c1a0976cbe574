package lettering_test

import (
	"slices"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
)

// What a font sets by codes is what Set draws, to the nanometres that each of
// the two rounds to.
func TestFontSetsWhatFaceSets(t *testing.T) {
	const text = "Lot 4711-Äg"
	for _, f := range []*lettering.Face{lettering.Regular(), lettering.Bold(), lettering.Mono()} {
		for turn := geometry.Turn0; turn <= geometry.Turn270; turn++ {
			want := set(t, f, text, 3*mm, turn)
			font := f.Font('L')
			var codes []byte
			for _, r := range text {
				codes = append(codes, byte(r))
			}
			em := 3 * mm * font.Em / font.Cap
			got := draw.Text{Font: font, Codes: codes, Turn: turn, Em: geometry.Size{Across: em, Around: em}}.Fill().Path
			if !slices.Equal(got.Verbs, want.Path.Verbs) {
				t.Fatalf("turn %s: the outlines are of %v, want %v", turn, got.Verbs, want.Path.Verbs)
			}
			for i, p := range got.Points {
				q := want.Path.Points[i]
				if off := max(p.Across-q.Across, q.Across-p.Across, p.Around-q.Around, q.Around-p.Around); off > 10 {
					t.Fatalf("turn %s, point %d: %v, want %v", turn, i, p, q)
				}
			}
			if got := font.Advance(codes, em); max(got-want.Width, want.Width-got) > 10 {
				t.Errorf("width %s, want %s", got, want.Width)
			}
		}
	}
}

func TestFontsByBlock(t *testing.T) {
	f := lettering.Regular()
	if f.Font('a') != f.Font('z') || f.Font('a') == f.Font('Ж') {
		t.Error("blocks of characters and fonts don't go together")
	}
	if f.Font('Ж').Glyphs['Ж'&0xff].Means != 'Ж' {
		t.Error("no Cyrillic letter")
	}
	if g := f.Font('a').Glyphs['\n']; g.Means != 0 || len(g.Path.Verbs) != 0 {
		t.Error("a line end has a glyph")
	}
	if f.Font('a').Name == f.Font('Ж').Name {
		t.Error("two fonts have one name")
	}
}
