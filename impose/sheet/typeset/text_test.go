package typeset

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// letters are what the tests write with: of several scripts, spaces and signs
// at which lines may end, and one that no face has.
const letters = "abcxyz ÄÖŻ ΑΩ ЖЯ りんご 苹果 사과 -/_,. 0123456789 עב سل น"

// TestWrapLosesNothing holds Wrap to its word: every character stands on a line,
// and no line is wider than the width, unless it is a single character.
func TestWrapLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOfN(rapid.RuneFrom([]rune(letters)), 0, 60, -1).Draw(t, "text")
		s := Style{rapid.Float64Range(4, 40).Draw(t, "size"), rapid.Bool().Draw(t, "bold")}
		width := rapid.Float64Range(30, 300).Draw(t, "width")
		d := NewDocument(100, 100, "")
		got := ""
		for _, l := range d.setting.Wrap(text, s, width) {
			got += l.Text
			if l.Width > width && len([]rune(l.Text)) > 1 {
				t.Errorf("line %q is %.2f wide, the width is %.2f", l.Text, l.Width, width)
			}
		}
		bare := func(text string) string { return strings.ReplaceAll(text, " ", "") }
		if want := bare(d.setting.settle(text)); bare(got) != want {
			t.Errorf("lines hold %q, want %q", bare(got), want)
		}
	})
}

// TestFitStaysInside holds Fit to its box, and to saying when it shortened.
func TestFitStaysInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOfN(rapid.RuneFrom([]rune(letters)), 0, 60, -1).Draw(t, "text")
		width := rapid.Float64Range(1, 200).Draw(t, "width")
		height := rapid.Float64Range(1, 60).Draw(t, "height")
		d := NewDocument(100, 100, "")
		s, lines, whole := d.setting.Fit(text, Style{Size: 30}, width, height, 5)
		if s.Size < 5 || s.Size > 30 {
			t.Errorf("size %.2f", s.Size)
		}
		if h := Height(len(lines), s.Size); h > height {
			t.Errorf("%d lines take %.2f of %.2f", len(lines), h, height)
		}
		all := ""
		for _, l := range lines {
			all += l.Text
			if l.Width > width {
				t.Errorf("line %q is %.2f wide, the box %.2f", l.Text, l.Width, width)
			}
		}
		if whole && strings.ReplaceAll(all, " ", "") != strings.ReplaceAll(d.setting.settle(text), " ", "") {
			t.Errorf("said to be whole: %q of %q", all, text)
		}
	})
}

func TestMissingIsNamed(t *testing.T) {
	d := NewDocument(100, 100, "")
	if got := d.setting.settle("น\u0301 \U0001F34E"); got != "[U+0E19]\u0301 [U+1F34E]" {
		t.Errorf("settled to %q", got)
	}
	if m := d.setting.Missing(); len(m) != 2 || m[0] != 0xe19 || m[1] != 0x1f34e {
		t.Errorf("missing %U", m)
	}
}
