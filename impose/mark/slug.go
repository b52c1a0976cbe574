package mark

import (
	"fmt"
	"slices"
	"strings"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
	"quoin/impose/ink"
)

// Sizes of the slug line's capitals. 1.6 mm is read at arm's length (common
// practice, no source).
const (
	slugBest  = 2 * mm
	slugRead  = 1600 * um
	slugLeast = 1 * mm
)

// Distances in capital heights: what a line takes with its descenders or its
// plates, and from one baseline to the next.
const (
	lineBelow, lineAbove = 0.35, 1.35
	linePitch            = 1.9
	wordGap              = 0.9
	platePad             = 0.35
)

// word is a piece of the slug line in one ink.
type word struct {
	text  string
	face  *lettering.Face
	paint draw.Paint
	plate bool // set on a dark plate, for an ink too light to be read on paper
}

// slug is a slug line that looks for its place.
type slug struct {
	margin margin
	blocks []slugBlock // ways to set it, the best first
	laid   bool
}

// slugBlock is the slug line set in one way, its leading left corner at the
// frame's origin.
type slugBlock struct {
	size  geometry.Size
	items []draw.Item
	cut   bool // says less than was asked for
}

// slugLine sets the slug line for the margin that it goes in: the right one,
// unless only the left one is free of targets or wider.
func (b *bench) slugLine(s *Slug, t *Targets) *slug {
	if s == nil {
		return nil
	}
	left, right := b.margins[0], b.margins[1]
	line := &slug{margin: right}
	if t != nil && t.Side == Right || left.strip.length() > right.strip.length() {
		line.margin = left
	}
	b.warnGlyphs(s)
	room := line.margin.strip.length() - 2*b.clear
	for _, text := range s.shortened() {
		for _, best := range []geometry.Length{slugBest, slugRead} {
			if block, ok := b.slugBlock(text.of(b), best, room); ok {
				block.cut = text.cut
				line.blocks = append(line.blocks, block)
			}
		}
	}
	return line
}

// slugAtStart lays the slug line at the start of its margin, if one of the
// bays stays free, and gives those that do.
func (b *bench) slugAtStart(s *slug, bays []bay) []bay {
	if s == nil {
		return bays
	}
	for _, block := range s.blocks {
		box, ok := b.slugBox(s, block)
		rest := slices.DeleteFunc(slices.Clone(bays), func(y bay) bool { return y.box.Overlaps(box.Outset(setGap)) })
		if ok && len(rest) > 0 {
			b.laySlug(s, block, box)
			return rest
		}
	}
	return bays
}

// slugLeft lays the slug line in what is left of its margin, if it is not laid
// yet, and says so if there is no room.
func (b *bench) slugLeft(s *slug) {
	if s == nil || s.laid {
		return
	}
	for _, block := range s.blocks {
		if box, ok := b.slugBox(s, block); ok {
			b.laySlug(s, block, box)
			return
		}
	}
	b.warn(CodeSlug, fmt.Sprintf("no slug line: the %s margin has no room for it", s.margin.side))
}

// slugBox gives the place of a block at the start of the longest free stretch
// of its margin.
func (b *bench) slugBox(s *slug, block slugBlock) (geometry.Box, bool) {
	across, around := b.longest(s.margin, block.size.Across)
	at := geometry.Position{Across: across.from, Around: around.from}
	return geometry.BoxAt(at, block.size), around.length() >= block.size.Around
}

func (b *bench) laySlug(s *slug, block slugBlock, box geometry.Box) {
	s.laid = true
	b.space.take(box)
	for _, item := range block.items {
		f := item.(draw.Fill)
		f.Path = f.Path.Moved(geometry.Size(box.Min))
		b.out.Items = append(b.out.Items, f)
	}
	if block.cut {
		b.warn(CodeSlug, fmt.Sprintf("the slug line is cut: the %s margin has no room for all of it", s.margin.side))
	}
}

// slugBlock sets lines of words, one beside another where the room across
// takes them, else one behind another. They read away from the frame's leading
// end; the first line is the outer one on the right.
func (b *bench) slugBlock(lines [][]word, best, room geometry.Length) (slugBlock, bool) {
	height := func(lines int) geometry.Length {
		return min(best, scaled(room, 1/slugTakes(lines)))
	}
	if len(lines) > 1 && height(len(lines)) < slugRead {
		lines = [][]word{slices.Concat(lines...)}
	}
	capital := height(len(lines))
	if capital < slugLeast {
		return slugBlock{}, false
	}
	var block slugBlock
	block.size.Across = scaled(capital, slugTakes(len(lines)))
	for i, line := range lines {
		baseline := block.size.Across - scaled(capital, lineAbove+linePitch*float64(i))
		var at geometry.Length
		for n, w := range line {
			if n > 0 {
				at += scaled(capital, wordGap)
			}
			items, end := w.set(geometry.Position{Across: baseline, Around: at}, capital, b.dark.Name)
			block.items = append(block.items, items...)
			at = end
		}
		block.size.Around = max(block.size.Around, at)
	}
	return block, true
}

// set gives the word's items with its baseline at a place, and where it ends.
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

// slugTakes gives what so many lines take across, in capital heights.
func slugTakes(lines int) float64 { return lineBelow + lineAbove + linePitch*float64(lines-1) }

func scaled(l geometry.Length, by float64) geometry.Length { return geometry.Length(float64(l) * by) }

// inkWords names each ink in itself. A light ink stands on a plate of the dark
// one, knocked out of it. A varnish can't be read by itself: it lies over its
// name in the dark ink.
func (b *bench) inkWords() []word {
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
	job, frame string
	lanes      []string
	cut        bool
}

// of gives the lines in words.
func (t slugText) of(b *bench) [][]word {
	var first []word
	for i, text := range append([]string{t.job, t.frame}, t.lanes...) {
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

// shortened gives the texts to try, the full one first: then with each product
// cut short, then without lanes.
func (s *Slug) shortened() []slugText {
	full := slugText{job: s.Job, lanes: s.products(0)}
	if s.Frames > 0 {
		// As wide for every frame, so that targets don't move from one to the next.
		digits := len(fmt.Sprint(s.Frames))
		full.frame = fmt.Sprintf("Frame %0*d of %d", digits, s.Frame, s.Frames)
	}
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
func (b *bench) warnGlyphs(s *Slug) {
	text := s.Job + strings.Join(s.Lanes, "")
	for _, i := range b.inks {
		text += i.Name
	}
	if _, err := lettering.Regular().Set(text, slugBest, geometry.Turn0); err != nil {
		b.warn(CodeGlyph, fmt.Sprintf("the slug line shows question marks: %v", err))
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
