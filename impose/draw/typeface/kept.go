package typeface

import (
	"encoding/binary"
	"unicode"
	"unicode/utf8"
)

// mostKept bounds how many stretches a shaper keeps.
const mostKept = 1024

// shape turns a stretch into glyphs. Most labels have words of the one before.
func (s *Shaper) shape(text []rune, r stretch) (Run, error) {
	s.key = key(s.key[:0], text, r)
	if run, known := s.kept[string(s.key)]; known {
		return run, nil
	}
	run, err := s.glyphs(text, r)
	if err != nil {
		return run, err
	}
	if len(s.kept) >= mostKept {
		clear(s.kept)
	}
	s.kept[string(s.key)] = run
	return run, nil
}

// key adds to k all that the glyphs of a stretch depend on: itself, and the letters
// next to it that it may join.
func key(k []byte, text []rune, r stretch) []byte {
	k = append(k, byte(r.face), byte(r.level%2))
	k = binary.BigEndian.AppendUint32(k, uint32(r.script))
	for i := r.from - 1; i >= 0; i-- {
		letter, more := beside(text[i])
		if k = utf8.AppendRune(k, letter); !more {
			break
		}
	}
	k = append(k, 0xff)
	for _, letter := range text[r.from:r.to] {
		k = utf8.AppendRune(k, letter)
	}
	k = append(k, 0xff)
	for i := r.to; i < len(text); i++ {
		letter, more := beside(text[i])
		if k = utf8.AppendRune(k, letter); !more {
			break
		}
	}
	return k
}

// beside returns what a letter is for the stretch that it stands beside: European and
// Arabic digits are all one, for they join nothing (Unicode, ArabicShaping.txt). What
// stands beyond marks is joined through them.
func beside(r rune) (letter rune, beyond bool) {
	switch {
	case r >= '0' && r <= '9', r >= 0x660 && r <= 0x669, r >= 0x6f0 && r <= 0x6f9:
		return '0', false
	case unicode.IsMark(r), unicode.Is(unicode.Cf, r):
		return r, true
	}
	return r, false
}

// form adds to k all that the cutting of a text depends on. ASCII digits have one
// direction and one script (UAX 9 and 24), so that they are all one where they are in
// the same faces: labels that differ in a number are cut alike.
func (s *Shaper) form(k []byte, text []rune) []byte {
	for _, r := range text {
		if s.alike && r >= '0' && r <= '9' {
			r = '0'
		}
		k = utf8.AppendRune(k, r)
	}
	return k
}
