package typeset

import (
	"fmt"
	"strings"
	"unicode"

	"github.com/go-text/typesetting/segmenter"
	"golang.org/x/text/unicode/norm"
)

// Style is how text looks.
type Style struct {
	Size float64 // in points
	Bold bool
}

// What a line of text takes above and below its baseline, and from line to
// line, as shares of its size: those of the tallest face.
const (
	above   = 0.93
	below   = 0.24
	leading = 1.19
	capital = 0.73 // height of a flat capital and of a figure
)

// Line is a line of text that was measured.
type Line struct {
	Text  string
	Width float64
}

// Width measures text that is set on one line.
func (d *Setting) Width(text string, s Style) float64 {
	key := Style{Size: 1, Bold: s.Bold}
	unit, known := d.widths[measured{text, s.Bold}]
	if !known {
		unit = measure(d.visual(d.settle(text)), key)
		d.widths[measured{text, s.Bold}] = unit
	}
	return unit * s.Size
}

// measured is what a width is kept for.
type measured struct {
	text string
	bold bool
}

// Height returns what so many lines take.
func Height(lines int, size float64) float64 {
	if lines == 0 {
		return 0
	}
	return (float64(lines-1)*leading + above + below) * size
}

// Wrap breaks text into lines of at most the width, where Unicode allows it
// (UAX 14), or else inside a word that is longer than a line. Every character
// is on one of the lines, unless a single one is wider than the width.
func (d *Setting) Wrap(text string, s Style, width float64) []Line {
	lines, _ := d.wrap(text, s, width)
	return lines
}

// wrap tells too whether a word had to be broken.
func (d *Setting) wrap(text string, s Style, width float64) (lines []Line, broken bool) {
	rest := ""
	put := func() {
		if t := strings.TrimRight(rest, " "); t != "" {
			lines = append(lines, Line{t, d.Width(t, s)})
		}
		rest = ""
	}
	for _, piece := range pieces(d.settle(text)) {
		if rest != "" && d.Width(strings.TrimRight(rest+piece, " "), s) > width {
			put()
		}
		for rest == "" && d.Width(strings.TrimRight(piece, " "), s) > width {
			n := d.longestStart(piece, s, width)
			rest = piece[:n]
			put()
			piece = piece[n:]
			broken = broken || strings.TrimRight(piece, " ") != ""
		}
		rest += piece
	}
	put()
	return lines, broken
}

// pieces cuts text where a line may end.
func pieces(text string) []string {
	var list []string
	var seg segmenter.Segmenter
	seg.Init([]rune(text))
	for it := seg.LineIterator(); it.Next(); {
		list = append(list, string(it.Line().Text))
	}
	return list
}

// LongestWord returns the width of the longest stretch of text that Wrap keeps
// whole where it can, in points.
func (d *Setting) LongestWord(text string, s Style) float64 {
	w := 0.0
	for _, piece := range pieces(d.settle(text)) {
		w = max(w, d.Width(strings.TrimRight(piece, " "), s))
	}
	return w
}

// longestStart returns the bytes of the graphemes that fit into the width, at
// least one.
func (d *Setting) longestStart(text string, s Style, width float64) int {
	var seg segmenter.Segmenter
	seg.Init([]rune(text))
	n := 0
	for it := seg.GraphemeIterator(); it.Next(); {
		end := n + len(string(it.Grapheme().Text))
		if n > 0 && d.Width(text[:end], s) > width {
			break
		}
		n = end
	}
	return n
}

// Fit returns the largest size up to the style's, and not below least, at which
// the text wraps into the box, and its lines; words are broken only where no
// size keeps them whole. Where even the least size is too large the last line
// ends in an ellipsis, and whole is false.
func (d *Setting) Fit(text string, s Style, width, height, least float64) (Style, []Line, bool) {
	for _, breaking := range []bool{false, true} {
		for try := s; ; try.Size = max(least, try.Size*0.94) {
			lines, broken := d.wrap(text, try, width)
			if Height(len(lines), try.Size) <= height && widest(lines) <= width && (breaking || !broken) {
				return try, lines, true
			}
			if try.Size <= least {
				break
			}
		}
	}
	s.Size = min(s.Size, least)
	return s, d.shorten(d.Wrap(text, s, width), s, width, height), false
}

func widest(lines []Line) float64 {
	w := 0.0
	for _, l := range lines {
		w = max(w, l.Width)
	}
	return w
}

// shorten keeps the lines that there is room for.
func (d *Setting) shorten(lines []Line, s Style, width, height float64) []Line {
	n := len(lines)
	for n > 0 && Height(n, s.Size) > height {
		n--
	}
	var kept []Line
	for i, l := range lines[:n] {
		if i == n-1 && n < len(lines) || l.Width > width {
			l = d.ellipsis(l.Text, s, width)
		}
		if l.Width <= width {
			kept = append(kept, l)
		}
	}
	return kept
}

// ellipsis ends a line before its end.
func (d *Setting) ellipsis(text string, s Style, width float64) Line {
	letters := []rune(text)
	for {
		t := strings.TrimRight(string(letters), " ") + "…"
		if w := d.Width(t, s); w <= width || len(letters) == 0 {
			return Line{t, w}
		}
		letters = letters[:len(letters)-1]
	}
}

// settle makes text settable: composed, without control characters, and with
// the codes of characters that no face has, which Missing will name.
func (d *Setting) settle(text string) string {
	var b strings.Builder
	for _, r := range norm.NFC.String(strings.ToValidUTF8(text, "\ufffd")) {
		switch {
		case r == '\u00a0':
			b.WriteRune(r) // keeps its neighbours on one line
		case unicode.IsSpace(r):
			b.WriteByte(' ')
		case unicode.In(r, unicode.Cc, unicode.Cf):
			// Joiners, marks of direction and line ends show nothing.
		case faceOf(r, false) != nil && faceOf(r, true) != nil:
			b.WriteRune(r)
		default:
			fmt.Fprintf(&b, "[U+%04X]", r)
			d.missing[r] = true
		}
	}
	return b.String()
}
