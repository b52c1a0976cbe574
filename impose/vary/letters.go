package vary

import (
	"fmt"
	"unicode/utf8"

	"quoin/geometry"
	"quoin/impose/barcode"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
	"quoin/impose/say"
)

// setter sets the text of one field, in memory that it uses again.
type setter struct {
	*Letters
	face  *lettering.Face
	ascii *draw.Font
	runs  []run
}

// run is a stretch of text in one font.
type run struct {
	font    *draw.Font
	codes   []byte
	advance geometry.Length // in the font's units
}

func newSetter(l *Letters) (*setter, error) {
	face, err := l.Face.face()
	if err != nil {
		return nil, err
	}
	return &setter{Letters: l, face: face, ascii: face.Font('A')}, nil
}

// line is text that is measured and fitted.
type line struct {
	runs []run
	wide geometry.Length // as set
	em   geometry.Size
}

// fit cuts the text into runs, measures it, and makes it fit.
func (s *setter) fit(text []byte, pen *barcode.Pen) (line, error) {
	s.runs = s.runs[:0]
	var units geometry.Length
	for rest := text; len(rest) > 0; {
		r, n := utf8.DecodeRune(rest)
		font := s.ascii
		if r > 255 {
			font = s.face.Font(r)
		}
		g := &font.Glyphs[r&255]
		if g.Means == 0 {
			return line{}, fmt.Errorf("%q: %w", text, lettering.NoGlyph(string(text), s.face.Missing(string(text))))
		}
		if k := len(s.runs); k == 0 || s.runs[k-1].font != font {
			s.runs = append(s.runs, run{font: font})
		}
		last := &s.runs[len(s.runs)-1]
		last.codes = pen.Extend(last.codes, byte(r))
		last.advance += g.Advance
		units += g.Advance
		rest = rest[n:]
	}
	em := s.Cap * s.ascii.Em / s.ascii.Cap
	l := line{s.runs, units * em / s.ascii.Em, geometry.Size{}}
	var err error
	l.em.Across, l.em.Around, err = s.fitted(text, em, l.wide)
	l.wide = min(l.wide, s.Width)
	return l, err
}

// fitted returns the size at which a text that is so wide fits into its room.
func (l *Letters) fitted(text []byte, em, wide geometry.Length) (along, upright geometry.Length, err error) {
	if wide <= l.Width {
		return em, em, nil
	}
	share := float64(l.Width) / float64(wide)
	small := geometry.Length(float64(em) * share)
	switch l.Fit {
	case Shrink:
		if float64(l.Cap)*share >= float64(l.Least) {
			return small, small, nil
		}
	case Squeeze:
		least := l.LeastShare
		if least == 0 {
			least = defaultShare
		}
		if share >= least {
			return small, em, nil
		}
	}
	return em, em, l.tooLong(text, wide)
}

// tooLong says that a text doesn't fit into its room.
func (l *Letters) tooLong(text []byte, wide geometry.Length) error {
	over := ""
	switch l.Fit {
	case Shrink:
		over = fmt.Sprintf(", too much to shrink it to capitals of %s", l.Least)
	case Squeeze:
		over = ", too much to squeeze it"
	}
	return say.Refuse(say.Failed, "shorten the text, widen the room, or set it smaller", "%q is %s long, and the room is %s%s", text, say.MM(wide.MM()), l.Width, over)
}

// set adds the text to the pen. Corner is the place on the frame of the upright
// text's top left, at the height of capitals; turn is that on the frame.
func (s *setter) set(pen *barcode.Pen, text []byte, corner geometry.Position, turn geometry.Turn, paint draw.Paint) error {
	l, err := s.fit(text, pen)
	if err != nil {
		return err
	}
	along := s.start(s.Width-l.wide, false)
	for _, r := range l.runs {
		step := geometry.Size(geometry.Position{Across: along, Around: s.Cap}.Turned(turn))
		pen.Texts = append(pen.Texts, draw.Text{
			Layer: draw.Data, Paint: paint, Font: r.font, Codes: r.codes, At: corner.Add(step), Turn: turn, Em: l.em,
		})
		along += r.advance * l.em.Across / r.font.Em
	}
	return nil
}
