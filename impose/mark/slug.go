package mark

import (
	"slices"

	"quoin/geometry"
	"quoin/impose/draw"
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

// slugBench lays the slug line.
type slugBench struct{ *bench }

// line sets the slug line for the margin that it goes in: the right one,
// unless only the left one is free of targets or wider.
func (b slugBench) line(s *Slug, t *Targets) *slug {
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
			if block, ok := b.block(text.of(b), best, room); ok {
				block.cut = text.cut
				line.blocks = append(line.blocks, block)
			}
		}
	}
	return line
}

// atStart lays the slug line at the start of its margin, if one of the
// bays stays free, and gives those that do.
func (b slugBench) atStart(s *slug, bays []bay) []bay {
	if s == nil {
		return bays
	}
	for _, block := range s.blocks {
		box, ok := b.box(s, block)
		rest := slices.DeleteFunc(slices.Clone(bays), func(y bay) bool { return y.box.Overlaps(box.Outset(setGap)) })
		if ok && len(rest) > 0 {
			b.lay(s, block, box)
			return rest
		}
	}
	return bays
}

// left lays the slug line in what is left of its margin, if it is not laid
// yet, and says so if there is no room.
func (b slugBench) left(s *slug) {
	if s == nil || s.laid {
		return
	}
	for _, block := range s.blocks {
		if box, ok := b.box(s, block); ok {
			b.lay(s, block, box)
			return
		}
	}
	b.out.Warnings.Add(CodeSlug, "no slug line: the %s margin has no room for it", s.margin.side)
}

// box returns the place of a block at the start of the longest free stretch
// of its margin.
func (b slugBench) box(s *slug, block slugBlock) (geometry.Box, bool) {
	across, around := b.longest(s.margin, block.size.Across)
	at := geometry.Position{Across: across.from, Around: around.from}
	return geometry.BoxAt(at, block.size), around.length() >= block.size.Around
}

func (b slugBench) lay(s *slug, block slugBlock, box geometry.Box) {
	s.laid = true
	b.out.Laid.Slug = true
	b.space.take(box)
	for _, item := range block.items {
		f := item.(draw.Fill)
		f.Path = f.Path.Moved(geometry.Size(box.Min))
		b.out.Items = append(b.out.Items, f)
	}
	if block.cut {
		b.out.Warnings.Add(CodeSlug, "the slug line is cut: the %s margin has no room for all of it", s.margin.side)
	}
}

// block sets lines of words, one beside another where the room across
// takes them, else one behind another. They read away from the frame's leading
// end; the first line is the outer one on the right.
func (b slugBench) block(lines [][]word, best, room geometry.Length) (slugBlock, bool) {
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

// slugTakes returns what so many lines take across, in capital heights.
func slugTakes(lines int) float64 { return lineBelow + lineAbove + linePitch*float64(lines-1) }

func scaled(l geometry.Length, by float64) geometry.Length { return geometry.Length(float64(l) * by) }
