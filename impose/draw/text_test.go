package draw_test

import (
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
)

// flag is a font with one glyph: a box two units wide and one high on the
// baseline, with an advance of three.
func flag() *draw.Font {
	box := draw.Rectangle(geometry.Box{Min: geometry.Position{Around: -10}, Max: geometry.Position{Across: 20}})
	return &draw.Font{Name: "flag", Em: 10, Leading: 40, Glyphs: []draw.Glyph{{Advance: 30, Path: box}}}
}

// Worked by hand on squared paper: lines of two glyphs, each unit 1 mm along
// the line and 2 mm upright to it, the lines 8 mm apart.
func TestTextAsOutlines(t *testing.T) {
	const mm = geometry.Millimetre
	for turn, want := range map[geometry.Turn]geometry.Box{
		geometry.Turn0:   {Min: geometry.Position{Across: 100 * mm, Around: 98 * mm}, Max: geometry.Position{Across: 105 * mm, Around: 108 * mm}},
		geometry.Turn90:  {Min: geometry.Position{Across: 98 * mm, Around: 95 * mm}, Max: geometry.Position{Across: 108 * mm, Around: 100 * mm}},
		geometry.Turn180: {Min: geometry.Position{Across: 95 * mm, Around: 92 * mm}, Max: geometry.Position{Across: 100 * mm, Around: 102 * mm}},
		geometry.Turn270: {Min: geometry.Position{Across: 92 * mm, Around: 100 * mm}, Max: geometry.Position{Across: 102 * mm, Around: 105 * mm}},
	} {
		text := draw.Text{
			Font: flag(), Codes: []byte{0, 0, 0}, Line: 2, Turn: turn,
			At: geometry.Position{Across: 100 * mm, Around: 100 * mm}, Em: geometry.Size{Across: mm, Around: 2 * mm},
		}
		fill := text.Fill()
		if got := fill.Path.Bounds(); got != want {
			t.Errorf("turn %s: %+v, want %+v", turn, got, want)
		}
		if n := len(fill.Path.Points); n != 12 {
			t.Errorf("turn %s: %d points of three boxes", turn, n)
		}
	}
	if got := flag().Advance([]byte{0, 0}, 5*mm); got != 30*mm {
		t.Errorf("two advances of 3 ems at 5 mm are %s", got)
	}
}
