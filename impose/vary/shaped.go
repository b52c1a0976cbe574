package vary

import (
	"errors"
	"slices"
	"strings"

	"quoin/geometry"
	"quoin/impose/barcode"
	"quoin/impose/draw"
	"quoin/impose/draw/typeface"
	"quoin/impose/say"
)

// Font is a customer's font file.
type Font struct {
	File string         // as the job names it
	Sum  string         // SHA-256
	Face *typeface.Face `json:"-"`
}

// shaped sets the text of one field in fonts of files.
type shaped struct {
	*Letters
	shaper *typeface.Shaper
	first  *draw.Font
	kept   map[string]laid // of texts that come again
}

// laid is text that is shaped and fitted.
type laid struct {
	lines []typeface.Line
	em    geometry.Size
	lead  geometry.Length // from line to line
	right bool            // it runs from right to left
}

// mostKept bounds how many texts a field keeps.
const mostKept = 256

func newShaped(l *Letters) *shaped {
	var faces []*typeface.Face
	for _, f := range l.Fonts {
		faces = append(faces, f.Face)
	}
	return &shaped{l, typeface.NewShaper(faces), faces[0].Font(), map[string]laid{}}
}

// fonts returns what the text may be set in.
func (s *shaped) fonts() (list []*draw.Font) {
	for _, f := range s.Fonts {
		list = append(list, f.Face.Font())
	}
	return list
}

// fit shapes the text and makes it fit.
func (s *shaped) fit(text []byte) (laid, error) {
	if l, known := s.kept[string(text)]; known {
		return l, nil
	}
	l, err := s.lay(string(text))
	var missing *typeface.Missing
	if errors.As(err, &missing) {
		names := make([]string, len(s.Fonts))
		for i, f := range s.Fonts {
			names[i] = f.File
		}
		err = say.Refuse(say.Failed, "add a font that has the letter behind the others in the field's list, or mend the text",
			"%q has a letter without a glyph in %s: %q (U+%04X)", say.Clip(string(text), 200), strings.Join(names, ", "), missing.Letter, missing.Letter)
	}
	if err != nil {
		return l, err
	}
	if len(s.kept) >= mostKept {
		clear(s.kept)
	}
	s.kept[string(text)] = l
	return l, nil
}

func (s *shaped) lay(text string) (laid, error) {
	letters := []rune(strings.ReplaceAll(text, "\r\n", "\n"))
	em := s.Cap * s.first.Em / s.first.Cap
	l := laid{em: geometry.Size{Across: em, Around: em}, right: typeface.RightToLeft(letters)}
	if s.Box > 0 {
		return l, s.box(&l, letters)
	}
	line, err := s.shaper.Line(letters)
	if err != nil {
		return l, err
	}
	l.lines = []typeface.Line{line}
	l.em.Across, l.em.Around, err = s.Letters.fitted([]byte(text), em, line.Wide*em/typeface.Unit)
	return l, err
}

// box breaks the text into lines that stand in the field's box, smaller where
// that is allowed: the largest size that fits, to a 64th of what there is between
// the two.
func (s *shaped) box(l *laid, letters []rune) error {
	try := func(em geometry.Length) (bool, error) {
		lines, wide, err := s.shaper.Wrap(letters, s.Width*typeface.Unit/em)
		if err != nil {
			return false, err
		}
		l.lines, l.em = lines, geometry.Size{Across: em, Around: em}
		l.lead = em * s.first.Leading / s.first.Em
		if s.Leading > 0 {
			l.lead = s.Leading * em * s.first.Cap / s.first.Em / s.Cap
		}
		capital := em * s.first.Cap / s.first.Em
		return wide == 0 && capital+geometry.Length(len(lines)-1)*l.lead <= s.Box, nil
	}
	full := l.em.Across
	fits, err := try(full)
	if fits || err != nil {
		return err
	}
	tooMuch := func(lines int) error {
		over := ""
		if s.Fit == Shrink {
			over = " with capitals of " + s.Least.String()
		}
		return say.Refuse(say.Failed, "shorten the text, enlarge the box, or set it smaller", "%q takes %s%s, and the box is %s x %s",
			say.Clip(string(letters), 200), say.CountOf(int64(lines), "line", "lines"), over, s.Width, s.Box)
	}
	if s.Fit != Shrink {
		return tooMuch(len(l.lines))
	}
	least := s.Least * s.first.Em / s.first.Cap
	if fits, err = try(least); err != nil || !fits {
		return errors.Join(err, tooMuch(len(l.lines)))
	}
	const steps = 64
	good, bad := 0, steps
	for bad-good > 1 {
		middle := (good + bad) / 2
		if fits, err = try(least + (full-least)*geometry.Length(middle)/steps); err != nil {
			return err
		}
		if fits {
			good = middle
		} else {
			bad = middle
		}
	}
	_, err = try(least + (full-least)*geometry.Length(good)/steps)
	return err
}

// note keeps what glyphs mean, see typeface.Face.Note.
func (l *laid) note() {
	for _, line := range l.lines {
		for _, r := range line.Runs {
			r.Face.Note(r.Set)
		}
	}
}

// set adds the text to the pen, see setter.set.
func (s *shaped) set(pen *barcode.Pen, text []byte, corner geometry.Position, turn geometry.Turn, paint draw.Paint) error {
	l, err := s.fit(text)
	if err != nil {
		return err
	}
	down := l.em.Around * s.first.Cap / s.first.Em
	if s.Box == 0 {
		down = s.Cap
	}
	for _, line := range l.lines {
		along := s.start(s.Width-line.Wide*l.em.Across/typeface.Unit, l.right)
		for _, r := range line.Runs {
			font := r.Face.Font()
			if len(r.Set) > 0 {
				step := geometry.Size(geometry.Position{Across: along, Around: down}.Turned(turn))
				pen.Texts = append(pen.Texts, draw.Text{
					Layer: draw.Data, Paint: paint, Font: font, Set: r.Set, At: corner.Add(step), Turn: turn, Em: l.em,
				})
			}
			along += r.Wide * l.em.Across / font.Em
		}
		down += l.lead
	}
	return nil
}

// start returns where a line begins that leaves so much of its room.
func (l *Letters) start(left geometry.Length, fromRight bool) geometry.Length {
	align := l.Align
	switch {
	case align == Start && fromRight, align == End && !fromRight:
		align = Right
	}
	switch align {
	case Centre:
		return left / 2
	case Right:
		return left
	}
	return 0
}

// known reports whether there is such an alignment.
func (a Align) known() bool {
	return slices.Contains([]Align{"", Left, Centre, Right, Start, End}, a)
}
