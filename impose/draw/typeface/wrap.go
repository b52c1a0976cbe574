package typeface

import "quoin/geometry"

// Wrap breaks a paragraph into lines that are no wider than a room, which is
// given at an em of Unit, where UAX 14 lets it break. A line feed ends a line.
// Scripts that are written without spaces and need a dictionary, as Thai, break
// at spaces and at zero width spaces (U+200B) only. Of a word that is wider than
// the room, wide is how wide it is; 0 where all fits.
func (s *Shaper) Wrap(text []rune, room geometry.Length) (lines []Line, wide geometry.Length, err error) {
	for from := 0; from <= len(text); {
		end := from
		for end < len(text) && text[end] != '\n' {
			end++
		}
		lines, wide, err = s.paragraph(lines, text[from:end], room, wide)
		if err != nil {
			return nil, 0, err
		}
		from = end + 1
	}
	return lines, wide, nil
}

func (s *Shaper) paragraph(lines []Line, text []rune, room, wide geometry.Length) ([]Line, geometry.Length, error) {
	if err := s.split(text); err != nil {
		return nil, 0, err
	}
	s.breaks.Init(text)
	var last Line
	from, to := 0, 0 // of the line under way
	for it := s.breaks.LineIterator(); it.Next(); {
		piece := it.Line()
		end := piece.Offset + len(piece.Text)
		line, err := s.line(text, from, end)
		if err != nil {
			return nil, 0, err
		}
		if line.Wide > room && to > from {
			lines, from = append(lines, last), to
			if line, err = s.line(text, from, end); err != nil {
				return nil, 0, err
			}
		}
		if line.Wide > room {
			wide = max(wide, line.Wide)
		}
		last, to = line, end
	}
	return append(lines, last), wide, nil
}
