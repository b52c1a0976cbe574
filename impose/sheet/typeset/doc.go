// Package typeset sets text and line art on PDF pages with gopdf: it measures,
// breaks and shrinks text so that nothing is cut off, and embeds what it uses
// of its faces.
//
// The faces are DejaVu Sans Condensed, regular and bold, from a Go module of
// its own (Latin, Greek, Cyrillic, Armenian, Georgian, Hebrew, Arabic, signs),
// and two that stand in for it: see faces/README.md. gopdf shapes nothing.
// Arabic and Hebrew are shaped here, with the letters' own presentation forms.
// Scripts that need more than one glyph's place for a letter, as those of India
// or Thai, have no face here: like every character without a glyph they are
// shown by their codes
// ([U+0E01]), which Missing names. A character is never a silent box.
package typeset
