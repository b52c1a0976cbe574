package typeset

import (
	"bytes"
	"compress/gzip"
	_ "embed"
	"fmt"
	"io"
	"sync"
	"unicode"

	"github.com/go-fonts/dejavu/dejavusanscondensed"
	"github.com/go-fonts/dejavu/dejavusanscondensedbold"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

//go:embed faces/DroidSansFallbackFull.ttf.gz
var droid []byte

//go:embed faces/NanumSquareR.ttf.gz
var nanum []byte

// face is a TrueType font that can be embedded.
type face struct {
	name  string
	data  []byte
	font  *sfnt.Font
	units int

	mu     sync.Mutex // over what follows
	buf    sfnt.Buffer
	glyphs map[rune]glyph
}

// glyph is what a face has for a character.
type glyph struct {
	index   sfnt.GlyphIndex // 0: nothing
	advance int             // in thousandths of the size, rounded down as gopdf writes it
	up      float64         // how far it reaches above the baseline, as a share of the size
	down    float64         // and below it
}

// The faces. The last two stand in for letters that the others lack.
var (
	plainFace = sync.OnceValue(func() *face { return parse("DejaVuSansCondensed", dejavusanscondensed.TTF) })
	boldFace  = sync.OnceValue(func() *face { return parse("DejaVuSansCondensedBold", dejavusanscondensedbold.TTF) })
	droidFace = sync.OnceValue(func() *face { return parse("DroidSansFallback", unpack(droid)) })
	nanumFace = sync.OnceValue(func() *face { return parse("NanumSquare", unpack(nanum)) })
)

func parse(name string, data []byte) *face {
	f, err := sfnt.Parse(data)
	if err != nil {
		panic(fmt.Sprintf("the built-in face %s: %v", name, err))
	}
	return &face{name: name, data: data, font: f, units: int(f.UnitsPerEm()), glyphs: map[rune]glyph{}}
}

func unpack(packed []byte) []byte {
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err == nil {
		var data []byte
		if data, err = io.ReadAll(r); err == nil {
			return data
		}
	}
	panic(fmt.Sprintf("a built-in face: %v", err))
}

// glyph looks a character up. Beyond the basic plane gopdf can't say in the
// file what a glyph means.
func (f *face) glyph(r rune) glyph {
	f.mu.Lock()
	defer f.mu.Unlock()
	g, known := f.glyphs[r]
	if known || r > 0xffff {
		return g
	}
	if index, err := f.font.GlyphIndex(&f.buf, r); err == nil && index != 0 {
		box, a, err := f.font.GlyphBounds(&f.buf, index, fixed.I(f.units), font.HintingNone)
		if err == nil {
			em := float64(fixed.I(f.units))
			g = glyph{index, a.Round() * 1000 / f.units, max(0, -float64(box.Min.Y)/em), max(0, float64(box.Max.Y)/em)}
		}
	}
	f.glyphs[r] = g
	return g
}

// run is a stretch of text in one face.
type run struct {
	face *face
	text string
}

// faceOf returns the face that sets a character; nil when none has it. Hangul
// goes to Nanum first, since Droid has but some of its letters.
func faceOf(r rune, bold bool) *face {
	first := plainFace
	if bold {
		first = boldFace
	}
	order := []func() *face{first, droidFace, nanumFace}
	if unicode.Is(unicode.Hangul, r) {
		order = []func() *face{nanumFace, droidFace}
	}
	for _, f := range order {
		if f().glyph(r).index != 0 {
			return f()
		}
	}
	return nil
}

// runs cuts settled text by the faces that have its letters.
func runs(text string, bold bool) []run {
	var list []run
	for _, r := range text {
		f := faceOf(r, bold)
		if n := len(list); n > 0 && list[n-1].face == f {
			list[n-1].text += string(r)
		} else if f != nil {
			list = append(list, run{f, string(r)})
		}
	}
	return list
}

// measure returns the width of text as it is seen.
func measure(text string, s Style) float64 {
	sum := 0
	for _, r := range runs(text, s.Bold) {
		for _, c := range r.text {
			sum += r.face.glyph(c).advance
		}
	}
	return float64(sum) / 1000 * s.Size
}

// reach returns how far text goes above and below its baseline, as shares of its
// size.
func reach(text string, bold bool) (up, down float64) {
	for _, r := range runs(text, bold) {
		for _, c := range r.text {
			g := r.face.glyph(c)
			up, down = max(up, g.up), max(down, g.down)
		}
	}
	return up, down
}
