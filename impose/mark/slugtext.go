package mark

import (
	"fmt"
	"strings"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
	"quoin/impose/ink"
)

// word is a piece of the slug line in one ink.
type word struct {
	text  string
	face  *lettering.Face
	paint draw.Paint
	plate bool // set on a dark plate, for an ink too light to be read on paper
}

// set returns the word's items with its baseline at a place, and where it ends.
func (w word) set(at geometry.Position, height geometry.Length, dark string) ([]draw.Item, geometry.Length) {
	text, err := w.face.Set(printable(w.face, w.text), height, geometry.Turn270)
	if err != nil {
		panic("mark: printable text: " + err.Error())
	}
	if !w.plate {
		return []draw.Item{draw.Fill{Layer: draw.Slug, Path: text.Path.Moved(geometry.Size(at)), Paint: w.paint}}, at.Around + text.Width
	}
	pad := scaled(height, platePad)
	plate := geometry.Box{
		Min: geometry.Position{Across: at.Across - pad, Around: at.Around},
		Max: geometry.Position{Across: at.Across + height + pad, Around: at.Around + text.Width + 2*pad},
	}
	at.Around += pad
	return []draw.Item{
		draw.Fill{Layer: draw.Slug, Path: draw.Rectangle(plate), Paint: draw.Solid(dark)},
		draw.Fill{Layer: draw.Slug, Path: text.Path.Moved(geometry.Size(at)), Paint: w.paint},
	}, plate.Max.Around
}

// inkWords names each ink in itself. A light ink stands on a plate of the dark
// one, knocked out of it. A varnish can't be read by itself: it lies over its
// name in the dark ink.
func (b slugBench) inkWords() []word {
	words := []word{{text: "Inks", face: lettering.Regular(), paint: draw.Solid(b.dark.Name)}}
	for _, i := range b.inks {
		w := word{text: i.Name, face: lettering.Bold(), paint: draw.Solid(i.Name)}
		switch {
		case i.Kind == ink.Varnish && i.Name != b.dark.Name:
			w.paint = draw.Together(b.dark.Name, i.Name)
		case i.Lightness() > light && b.dark.Lightness() <= light:
			w.plate = true
		}
		words = append(words, w)
	}
	return words
}

// slugText is what the first line of a slug says.
type slugText struct {
	job   string
	lanes []string
	cut   bool
}

// of returns the lines in words.
func (t slugText) of(b slugBench) [][]word {
	var first []word
	for i, text := range append([]string{t.job}, t.lanes...) {
		if text != "" {
			face := lettering.Regular()
			if i == 0 {
				face = lettering.Bold()
			}
			first = append(first, word{text: text, face: face, paint: draw.Solid(b.dark.Name)})
		}
	}
	if len(first) == 0 {
		return [][]word{b.inkWords()}
	}
	return [][]word{first, b.inkWords()}
}

// shortened returns the texts to try, the full one first: then with each product
// cut short, then without lanes.
func (s *Slug) shortened() []slugText {
	full := slugText{job: s.Job, lanes: s.products(0)}
	texts := []slugText{full}
	if len(full.lanes) > 0 {
		short, none := full, full
		short.lanes, short.cut = s.products(12), true
		none.lanes, none.cut = nil, true
		texts = append(texts, short, none)
	}
	return texts
}

// products says what neighbouring lanes carry: "Lanes 1-3 Lemon", each product
// cut to so many characters, 0 for all of them.
func (s *Slug) products(most int) []string {
	var out []string
	for i := 0; i < len(s.Lanes); {
		j := i
		for j < len(s.Lanes) && s.Lanes[j] == s.Lanes[i] {
			j++
		}
		where := fmt.Sprintf("Lane %d", i+1)
		if j > i+1 {
			where = fmt.Sprintf("Lanes %d-%d", i+1, j)
		}
		product := []rune(s.Lanes[i])
		if most > 0 && len(product) > most {
			product = append(product[:most-1:most-1], '…')
		}
		if len(product) > 0 {
			out = append(out, where+" "+string(product))
		}
		i = j
	}
	return out
}

// warnGlyphs names characters of the slug line that can't be drawn; they are
// shown as question marks.
func (b slugBench) warnGlyphs(s *Slug) {
	text := s.Job + strings.Join(s.Lanes, "")
	for _, i := range b.inks {
		text += i.Name
	}
	if _, err := lettering.Regular().Set(text, slugBest, geometry.Turn0); err != nil {
		b.out.Warnings.Add(CodeGlyph, "the slug line shows question marks: %v", err)
	}
}

// printable puts a question mark for every character without a glyph.
func printable(f *lettering.Face, text string) string {
	missing := string(f.Missing(text))
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(missing, r) {
			return '?'
		}
		return r
	}, text)
}
