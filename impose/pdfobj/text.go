package pdfobj

import (
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// Text decodes a text string, 7.9.2.2: UTF-16 or UTF-8 with its mark, else
// PDFDocEncoding; "" for what is none.
func Text(doc *Document, o Object) string {
	s, ok := doc.String(o)
	if !ok {
		return ""
	}
	b := string(s)
	switch {
	case strings.HasPrefix(b, "\xfe\xff"):
		return utf16Text(b[2:], 0)
	case strings.HasPrefix(b, "\xff\xfe"):
		return utf16Text(b[2:], 1)
	case strings.HasPrefix(b, "\xef\xbb\xbf"):
		return strings.ToValidUTF8(b[3:], "\ufffd")
	}
	var out strings.Builder
	for _, c := range []byte(b) {
		if r, ok := docEncoding[c]; ok {
			out.WriteRune(r)
		} else {
			out.WriteRune(rune(c))
		}
	}
	return out.String()
}

func utf16Text(b string, low int) string {
	units := make([]uint16, 0, len(b)/2)
	for i := 0; i+1 < len(b); i += 2 {
		units = append(units, uint16(b[i+low])<<8|uint16(b[i+1-low]))
	}
	return string(utf16.Decode(units))
}

// docEncoding is where PDFDocEncoding differs from Latin-1, Annex D.2.
var docEncoding = map[byte]rune{
	0x18: '˘', 0x19: 'ˇ', 0x1a: 'ˆ', 0x1b: '˙', 0x1c: '˝', 0x1d: '˛', 0x1e: '˚', 0x1f: '˜',
	0x80: '•', 0x81: '†', 0x82: '‡', 0x83: '…', 0x84: '—', 0x85: '–', 0x86: 'ƒ', 0x87: '⁄',
	0x88: '‹', 0x89: '›', 0x8a: '−', 0x8b: '‰', 0x8c: '„', 0x8d: '“', 0x8e: '”', 0x8f: '‘',
	0x90: '’', 0x91: '‚', 0x92: '™', 0x93: 'ﬁ', 0x94: 'ﬂ', 0x95: 'Ł', 0x96: 'Œ', 0x97: 'Š',
	0x98: 'Ÿ', 0x99: 'Ž', 0x9a: 'ı', 0x9b: 'ł', 0x9c: 'œ', 0x9d: 'š', 0x9e: 'ž', 0xa0: '€',
}

// Text shows a name to people. Names are bytes: UTF-8 by the letter of 7.3.5, but
// often Latin-1; what is not UTF-8 is read as that.
func (n Name) Text() string {
	if utf8.ValidString(string(n)) {
		return string(n)
	}
	text, _ := charmap.ISO8859_1.NewDecoder().String(string(n)) // which knows all bytes
	return text
}
