package typeface

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/say"
)

// parts is how many parts a unit of a font file has here, so that the control
// points of quadratic curves are whole numbers when they become cubic.
const parts = 3

// Face is a font file. It is a draw.Program, and safe for use by several
// goroutines.
type Face struct {
	name   string
	font   *font.Font
	draws  *draw.Font
	mu     sync.RWMutex
	glyphs map[uint16]draw.Glyph
	says   map[uint16]string
	pen    *font.Face // under mu
}

// largest bounds a font file: the largest of all scripts have some 30 MB.
const largest = 64 << 20

// Open reads a font file: TrueType, OpenType with either kind of outlines, or
// the first of a collection. Fonts whose makers forbid embedding are refused. The
// content may lie elsewhere than where the file is called.
func Open(path, lies string) (*Face, error) {
	info, err := os.Stat(lies)
	if err != nil {
		return nil, err
	}
	if info.Size() > largest {
		return nil, say.Refuse(say.BadFile, "give a font file", "%s has %d bytes, more than any font", path, info.Size())
	}
	data, err := os.ReadFile(lies)
	if err != nil {
		return nil, err
	}
	f, err := New(filepath.Base(path), data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return f, nil
}

// New reads a font from the bytes of its file, which are kept.
func New(name string, data []byte) (f *Face, err error) {
	defer func() { // the library is written for fonts that are whole
		if r := recover(); r != nil {
			f, err = nil, damaged(fmt.Errorf("%v", r))
		}
	}()
	loaders, err := opentype.NewLoaders(bytes.NewReader(data))
	if err != nil || len(loaders) == 0 {
		return nil, damaged(err)
	}
	if err := mayEmbed(loaders[0]); err != nil {
		return nil, err
	}
	parsed, err := font.NewFont(loaders[0])
	if err != nil {
		return nil, damaged(err)
	}
	f = &Face{
		name: strings.TrimSuffix(name, filepath.Ext(name)), font: parsed, pen: font.NewFace(parsed),
		glyphs: map[uint16]draw.Glyph{}, says: map[uint16]string{},
	}
	em := geometry.Length(parsed.Upem()) * parts
	if em == 0 {
		return nil, damaged(fmt.Errorf("its em has no units"))
	}
	capital := geometry.Length(f.pen.LineMetric(font.CapHeight)) * parts
	if capital <= 0 || capital > em {
		capital = em * 7 / 10 // common practice, no source
	}
	f.draws = &draw.Font{Name: f.name, Em: em, Cap: capital, Leading: f.leading(em), Program: f}
	return f, nil
}

func damaged(err error) error {
	return &say.Refusal{Kind: say.BadFile, Text: "is no TrueType or OpenType font that can be read", Way: "give a .ttf or .otf file", Err: err}
}

// mayEmbed refuses fonts by the rights that their makers give (OpenType
// specification, OS/2 table, fsType).
func mayEmbed(file *opentype.Loader) error {
	table, err := file.RawTable(opentype.MustNewTag("OS/2"))
	if err != nil || len(table) < 10 {
		return nil // nothing is said
	}
	const restricted, editable, installable, noSubset, bitmaps = 0x2, 0x8 | 0x4, 0, 0x100, 0x200
	rights := binary.BigEndian.Uint16(table[8:])
	switch {
	case rights&restricted != 0 && rights&editable == installable:
		return say.Refuse(say.BadFile, "take another font, or ask its maker for one that may be embedded", "its maker forbids embedding it (fsType %#x)", rights)
	case rights&(noSubset|bitmaps) != 0:
		return say.Refuse(say.BadFile, "take another font, or ask its maker for one that may be embedded", "its maker forbids embedding a part of its outlines (fsType %#x)", rights)
	}
	return nil
}

// leading returns the distance of lines that the font asks for.
func (f *Face) leading(em geometry.Length) geometry.Length {
	e, ok := f.pen.FontHExtents()
	if l := geometry.Length((e.Ascender - e.Descender + e.LineGap) * parts); ok && l > em/2 && l < 4*em {
		return l
	}
	return em * 6 / 5
}

// Font returns the face as what frames are drawn with.
func (f *Face) Font() *draw.Font { return f.draws }

// Name returns the name of its file without the ending.
func (f *Face) Name() string { return f.name }

// Says returns the letters that the glyph was first Noted for.
func (f *Face) Says(number uint16) string {
	f.mu.RLock()
	defer f.mu.RUnlock()
	return f.says[number]
}

// Note keeps what glyphs of a line say, so that a file need not say it each time.
// Of glyphs that show some letters together, each says the letter that it is the
// plain form of, and the first of the others what is left. Whoever notes lines in
// one order gets the same file each time.
func (f *Face) Note(line []draw.Set) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for i := 0; i < len(line); {
		end := i + 1
		for end < len(line) && line[end].Says == "" {
			end++
		}
		rest := []rune(line[i].Says)
		var others []uint16
		for _, s := range line[i:end] {
			at := slices.IndexFunc(rest, func(r rune) bool { g, ok := f.pen.NominalGlyph(r); return ok && uint16(g) == s.Glyph })
			if at < 0 || end == i+1 {
				others = append(others, s.Glyph)
				continue
			}
			f.note(s.Glyph, string(rest[at]))
			rest = slices.Delete(rest, at, at+1)
		}
		if len(others) > 0 && len(rest) > 0 {
			f.note(others[0], string(rest))
		}
		i = end
	}
}

func (f *Face) note(number uint16, says string) {
	if _, known := f.says[number]; !known {
		f.says[number] = says
	}
}

// Glyph returns a glyph's outline.
func (f *Face) Glyph(number uint16) draw.Glyph {
	f.mu.RLock()
	g, known := f.glyphs[number]
	f.mu.RUnlock()
	if known {
		return g
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	g.Advance = round(f.pen.HorizontalAdvance(font.GID(number)))
	if outline, ok := f.pen.GlyphDataOutline(font.GID(number)); ok {
		g.Path = path(outline.Segments)
	}
	f.glyphs[number] = g
	return g
}

func round(units float32) geometry.Length {
	return geometry.Length(math.Round(float64(units) * parts))
}

// path turns an outline about, since its y grows up.
func path(outline []font.Segment) draw.Path {
	var p draw.Path
	at := func(q font.SegmentPoint) geometry.Position {
		return geometry.Position{Across: round(q.X), Around: -round(q.Y)}
	}
	third := func(end, control font.SegmentPoint) geometry.Position { // see lettering
		return at(font.SegmentPoint{X: (end.X + 2*control.X) / 3, Y: (end.Y + 2*control.Y) / 3})
	}
	var last font.SegmentPoint
	for i, s := range outline {
		switch s.Op {
		case opentype.SegmentOpMoveTo:
			if i > 0 {
				p.Close()
			}
			p.Move(at(s.Args[0]))
			last = s.Args[0]
		case opentype.SegmentOpLineTo:
			p.Line(at(s.Args[0]))
			last = s.Args[0]
		case opentype.SegmentOpQuadTo:
			p.Curve(third(last, s.Args[0]), third(s.Args[1], s.Args[0]), at(s.Args[1]))
			last = s.Args[1]
		case opentype.SegmentOpCubeTo:
			p.Curve(at(s.Args[0]), at(s.Args[1]), at(s.Args[2]))
			last = s.Args[2]
		}
	}
	if len(outline) > 0 {
		p.Close()
	}
	return p
}
