package typeface

import (
	"errors"
	"fmt"
	"slices"

	"github.com/go-text/typesetting/bidi"
	"github.com/go-text/typesetting/di"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/segmenter"
	"github.com/go-text/typesetting/shaping"
	"golang.org/x/image/math/fixed"
	classes "golang.org/x/text/unicode/bidi"

	"quoin/geometry"
	"quoin/impose/draw"
)

// Shaper shapes text in some faces; each letter takes the first that has it. It
// is for one goroutine.
type Shaper struct {
	faces  []*Face
	pens   []*font.Face // by face
	shaper shaping.HarfbuzzShaper
	para   bidi.Paragraph
	breaks segmenter.Segmenter
	runs   []stretch
	kept   map[string]Run       // of stretches that come again, see key
	cuts   map[string][]stretch // of texts that are cut alike, see form
	alike  bool                 // all faces have all ASCII digits, or none of them
	key    []byte
}

// NewShaper returns a shaper of at least one face.
func NewShaper(faces []*Face) *Shaper {
	s := &Shaper{faces: faces, kept: map[string]Run{}, cuts: map[string][]stretch{}, alike: true}
	for _, f := range faces {
		pen := font.NewFace(f.font)
		s.pens = append(s.pens, pen)
		_, first := pen.NominalGlyph('0')
		for r := '1'; r <= '9'; r++ {
			_, has := pen.NominalGlyph(r)
			s.alike = s.alike && has == first
		}
	}
	return s
}

// Run is a stretch of a line in one face, with its glyphs from left to right.
type Run struct {
	Face *Face
	Set  []draw.Set      // from the run's own start, in units of the face
	Wide geometry.Length // in units of the face
}

// Line is one line of text, its runs from left to right.
type Line struct {
	Runs []Run
	Wide geometry.Length // at an em of Unit
}

// Unit is the em that widths of lines are given at.
const Unit = 1_000_000

// Missing names a letter that no face has.
type Missing struct{ Letter rune }

func (m *Missing) Error() string { return fmt.Sprintf("%q has no glyph", m.Letter) }

// stretch is a part of a text with one level, script and face.
type stretch struct {
	from, to int
	level    bidi.Level
	script   language.Script
	face     int
}

// errOrder tells of text whose order can't be worked out.
var errOrder = errors.New("its parts can't be put into order")

// RightToLeft reports whether a paragraph runs from right to left: by its first
// letter that has a direction (UAX 9, P2 and P3).
func RightToLeft(text []rune) bool {
	for _, r := range text {
		p, _ := classes.LookupRune(r)
		switch p.Class() {
		case classes.L:
			return false
		case classes.R, classes.AL:
			return true
		}
	}
	return false
}

// split cuts a paragraph into stretches, in the order in which it is read.
func (s *Shaper) split(text []rune) error {
	s.key = s.form(s.key[:0], text)
	if runs, known := s.cuts[string(s.key)]; known {
		s.runs = append(s.runs[:0], runs...)
		return nil
	}
	if err := s.splitAnew(text); err != nil {
		return err
	}
	if len(s.cuts) >= mostKept {
		clear(s.cuts)
	}
	s.cuts[string(s.key)] = slices.Clone(s.runs)
	return nil
}

func (s *Shaper) splitAnew(text []rune) error {
	s.runs = s.runs[:0]
	for _, r := range text {
		if p, _ := classes.LookupRune(r); p.Class() == classes.B {
			return &Missing{r} // it ends a paragraph, and this is one
		}
	}
	base := bidi.LeftToRight
	if RightToLeft(text) {
		base = bidi.RightToLeft
	}
	order := s.para.Segment(text, base)
	end := 0
	for i := range order.NumRuns() {
		r := order.Run(i)
		if r.Start != end {
			return errOrder
		}
		end = r.End
		// The library joins a number inside of right-to-left text with what runs
		// left to right behind it, though their levels differ.
		if cut := numberEnd(text[r.Start:r.End]); base == bidi.LeftToRight && r.Level == 2 && cut > 0 {
			s.scripts(text, r.Start, r.Start+cut, 2)
			r.Start, r.Level = r.Start+cut, 0
		}
		s.scripts(text, r.Start, r.End, r.Level)
	}
	if end != len(text) {
		return errOrder
	}
	return nil
}

// numberEnd returns where a number ends that a text begins with.
func numberEnd(text []rune) int {
	end := 0
	for i, r := range text {
		switch p, _ := classes.LookupRune(r); p.Class() {
		case classes.EN, classes.AN:
			end = i + 1
		case classes.ES, classes.CS, classes.ET, classes.NSM:
		default:
			return end
		}
	}
	return end
}

// scripts cuts a stretch of one level by scripts and faces. What belongs to all
// scripts goes with what stands before it.
func (s *Shaper) scripts(text []rune, from, to int, level bidi.Level) {
	last := stretch{script: language.Unknown, face: -1}
	for i := from; i < to; i++ {
		script, face := language.LookupScript(text[i]), s.face(text[i], last.face)
		common := script == language.Common || script == language.Inherited
		if common {
			script = last.script
		}
		if n := len(s.runs); i > from && face == last.face && (script == last.script || last.script == language.Unknown) {
			s.runs[n-1].to, s.runs[n-1].script = i+1, script
		} else {
			s.runs = append(s.runs, stretch{i, i + 1, level, script, face})
		}
		last = s.runs[len(s.runs)-1]
	}
}

// face returns the face of a letter: the first that has it, but that of the letter
// before where it has it too and the letter is no letter by itself.
func (s *Shaper) face(r rune, last int) int {
	joins := false
	if script := language.LookupScript(r); script == language.Common || script == language.Inherited {
		joins = true
	}
	if last >= 0 && joins {
		if _, ok := s.pens[last].NominalGlyph(r); ok || ignorable(r) {
			return last
		}
	}
	for i, f := range s.pens {
		if _, ok := f.NominalGlyph(r); ok {
			return i
		}
	}
	return max(last, 0)
}

// ignorable tells of what directs the text and shows nothing.
func ignorable(r rune) bool {
	return r >= 0x200b && r <= 0x200f || r >= 0x202a && r <= 0x202e || r >= 0x2060 && r <= 0x2069 || r >= 0xfe00 && r <= 0xfe0f || r == 0xad || r == 0x61c
}

// line shapes a part of the paragraph that was split last. Spaces at its ends
// take no room (UAX 9, L1; UAX 14).
func (s *Shaper) line(text []rune, from, to int) (Line, error) {
	for to > from && text[to-1] == ' ' {
		to--
	}
	for from < to && text[from] == ' ' {
		from++
	}
	var l Line
	var levels []bidi.Level
	for _, r := range s.runs {
		if r.from, r.to = max(r.from, from), min(r.to, to); r.from >= r.to {
			continue
		}
		run, err := s.shape(text, r)
		if err != nil {
			return l, err
		}
		l.Runs, levels = append(l.Runs, run), append(levels, r.level)
		l.Wide += run.Wide * Unit / run.Face.draws.Em
	}
	Reorder(l.Runs, levels)
	return l, nil
}

// Reorder turns the runs of a line about, from the highest level down (UAX 9, L2).
func Reorder[T any](runs []T, levels []bidi.Level) {
	if len(levels) == 0 {
		return
	}
	for level := slices.Max(levels); level > 0; level-- {
		for i := 0; i < len(runs); i++ {
			end := i
			for end < len(runs) && levels[end] >= level {
				end++
			}
			if end > i {
				slices.Reverse(runs[i:end])
				slices.Reverse(levels[i:end])
				i = end
			}
		}
	}
}

// glyphs turns a stretch into glyphs.
func (s *Shaper) glyphs(text []rune, r stretch) (Run, error) {
	face := s.faces[r.face]
	in := shaping.Input{
		Text: text, RunStart: r.from, RunEnd: r.to, Direction: di.DirectionLTR, Face: s.pens[r.face],
		Size: fixed.I(int(face.draws.Em)), Script: r.script, Language: language.NewLanguage("und"),
	}
	if r.level%2 == 1 {
		in.Direction = di.DirectionRTL
	}
	out := s.shaper.Shape(in)
	run := Run{Face: face, Set: make([]draw.Set, 0, len(out.Glyphs))}
	units := func(v fixed.Int26_6) geometry.Length { return geometry.Length(v.Round()) }
	for i, g := range out.Glyphs {
		if g.GlyphID == 0 || g.GlyphID > 0xffff {
			return run, &Missing{s.lacking(text[g.TextIndex():min(g.TextIndex()+g.RunesCount(), r.to)])}
		}
		set := draw.Set{Glyph: uint16(g.GlyphID), At: geometry.Position{Across: run.Wide + units(g.XOffset), Around: -units(g.YOffset)}}
		if i == 0 || out.Glyphs[i-1].TextIndex() != g.TextIndex() {
			set.Says = string(text[g.TextIndex():min(g.TextIndex()+g.RunesCount(), r.to)])
		}
		run.Set = append(run.Set, set)
		run.Wide += units(g.Advance)
	}
	return run, nil
}

// lacking returns the letter of a cluster that no face has.
func (s *Shaper) lacking(cluster []rune) rune {
	for _, r := range cluster {
		if !slices.ContainsFunc(s.pens, func(f *font.Face) bool { _, ok := f.NominalGlyph(r); return ok }) {
			return r
		}
	}
	return cluster[0]
}

// Line shapes text as one line.
func (s *Shaper) Line(text []rune) (Line, error) {
	if err := s.split(text); err != nil {
		return Line{}, err
	}
	return s.line(text, 0, len(text))
}
