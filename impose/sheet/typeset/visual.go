package typeset

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"

	"github.com/go-text/typesetting/bidi"
	"github.com/go-text/typesetting/di"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/shaping"
	"golang.org/x/image/math/fixed"

	"quoin/impose/draw/typeface"
)

// visual returns a settled line in the order and the forms in which it is seen:
// the letters of Arabic joined to their neighbours, and what runs from right to
// left turned about (UAX 9). Other scripts come back as they are.
func (d *Setting) visual(line string) string {
	if !strings.ContainsFunc(line, rightToLeft) {
		return line
	}
	var p bidi.Paragraph
	text := []rune(line)
	runs := p.Segment(text, bidi.Neutral)
	parts := make([]string, runs.NumRuns())
	levels := make([]bidi.Level, runs.NumRuns())
	for i := range parts {
		r := runs.Run(i)
		levels[i] = r.Level
		parts[i] = string(text[r.Start:r.End])
		if !r.IsLeftToRight() {
			parts[i] = d.shape(text, r.Start, r.End)
		}
	}
	typeface.Reorder(parts, levels)
	return strings.Join(parts, "")
}

// rightToLeft tells of letters that need all this.
func rightToLeft(r rune) bool { return unicode.In(r, unicode.Arabic, unicode.Hebrew) }

// shape returns the run text[start:end], which runs from right to left, as it is
// seen from the left. Marks above and below letters stand at their own places
// in the face, which is near enough to read. A run with a form that the face
// has no character for is shown by its codes.
func (d *Setting) shape(text []rune, start, end int) string {
	shaper := shapers.Get().(*shaper)
	defer shapers.Put(shaper)
	script := language.Hebrew
	if slices.ContainsFunc(text[start:end], func(r rune) bool { return unicode.Is(unicode.Arabic, r) }) {
		script = language.Arabic
	}
	out := shaper.Shape(shaping.Input{
		Text: text, RunStart: start, RunEnd: end, Direction: di.DirectionRTL,
		Face: shaper.face, Size: fixed.I(1000), Script: script, Language: language.DefaultLanguage(),
	})
	var b strings.Builder
	for _, g := range out.Glyphs {
		r, known := shaper.means(text[start:end], g.GlyphID)
		if !known {
			return d.codes(text[start:end])
		}
		b.WriteRune(r)
	}
	return b.String()
}

// codes shows characters by their codes.
func (d *Setting) codes(text []rune) string {
	var b strings.Builder
	for _, r := range text {
		fmt.Fprintf(&b, "[U+%04X]", r)
		d.missing[r] = true
	}
	return b.String()
}

// shaper turns text into glyphs, and knows which characters they are.
type shaper struct {
	shaping.HarfbuzzShaper
	face  *font.Face
	forms map[font.GID]rune // presentation forms
}

// shapers keeps shapers, none of which two may use at once.
var shapers = sync.Pool{New: func() any {
	face, err := font.ParseTTF(bytes.NewReader(plainFace().data))
	if err != nil {
		panic(fmt.Sprintf("the built-in face: %v", err))
	}
	s := &shaper{face: face, forms: map[font.GID]rune{}}
	// Arabic presentation forms A and B, and Hebrew ones between them.
	for r := rune(0xfeff); r >= 0xfb1d; r-- {
		if g, ok := face.NominalGlyph(r); ok {
			s.forms[g] = r
		}
	}
	return s
}}

// means returns the character of a glyph that stands for one of the letters.
func (s *shaper) means(letters []rune, g font.GID) (rune, bool) {
	if g == 0 {
		return 0, false
	}
	r, known := s.forms[g]
	if !known {
		for _, l := range letters {
			// A bracket shows as the other of its pair.
			for _, c := range []rune{l, mirrored(l)} {
				if n, ok := s.face.NominalGlyph(c); ok && n == g {
					return c, true
				}
			}
		}
	}
	return r, known && faceOf(r, true) != nil
}

func mirrored(r rune) rune {
	const pairs = "()[]{}<>«»‹›"
	all := []rune(pairs)
	if i := slices.Index(all, r); i >= 0 {
		return all[i^1]
	}
	return r
}
