package draw

import (
	"fmt"
	"hash/fnv"
	"strconv"
	"strings"

	"quoin/geometry"
)

// Notation writes items as text, one line each, for tests and for people who
// compare two frames. All numbers are millimetres, across first. Rectangles and
// straight lines are written as such, other paths as M, L, C and Z; a path of
// more than longest verbs only by its bounds, its number of verbs and a hash
// of its points.
//
//	fill targets Cyan 50 %: box 11.5,20 5x5
//	stroke marks 0.1 Cyan+Magenta: line 14,1 14,6
//	place artwork 0 turn 90: box 20,2 75x50 clip box 18,0 79x54
//	cover white White overprint choke 0.15 artwork 0 turn 90: box 20,2 75x50 clip box 18,0 79x54
//	text data Black: mono "HL-01" at 30,12 turn 0, 2x2
func Notation(items []Item) string {
	var b strings.Builder
	for _, item := range items {
		switch item := item.(type) {
		case Fill:
			fmt.Fprintf(&b, "fill %s %s: %s\n", item.Layer, item.Paint, item.Path)
		case Stroke:
			fmt.Fprintf(&b, "stroke %s %s %s: %s\n", item.Layer, item.Width.Digits(), item.Paint, item.Path)
		case Text:
			fmt.Fprintf(&b, "text %s %s: %s %q at %s turn %s, %sx%s\n", item.Layer, item.Paint,
				item.Font.Name, item.said(), pointText(item.At), item.Turn, item.Em.Across.Digits(), item.Em.Around.Digits())
		case Cover:
			fmt.Fprintf(&b, "cover %s %s choke %s artwork %d turn %s: %s clip %s\n",
				item.Layer, item.Paint, item.Choke.Digits(), item.Place.Art, item.Place.Turn, boxText(item.Place.Trim), item.Place.Clip)
		case Place:
			fmt.Fprintf(&b, "place %s %d turn %s: %s clip %s\n",
				Artwork, item.Art, item.Turn, boxText(item.Trim), item.Clip)
		}
	}
	return b.String()
}

// longest is the most verbs that are written out: as many as two ellipses.
const longest = 12

// String writes the path as Notation does.
func (p Path) String() string {
	if b, ok := p.Box(); ok {
		return boxText(b)
	}
	if len(p.Verbs) == 2 && p.Verbs[0] == MoveTo && p.Verbs[1] == LineTo {
		return "line " + pointText(p.Points[0]) + " " + pointText(p.Points[1])
	}
	if len(p.Verbs) > longest {
		h := fnv.New32a()
		fmt.Fprint(h, p.Verbs)
		for _, at := range p.Points {
			fmt.Fprint(h, int64(at.Across), int64(at.Around)) // exact, as no print of a length is
		}
		return fmt.Sprintf("path in %s, %d verbs, %08x", boxText(p.Bounds()), len(p.Verbs), h.Sum32())
	}
	words := make([]string, 0, len(p.Verbs)+len(p.Points))
	points := p.Points
	for _, v := range p.Verbs {
		words = append(words, v.String())
		for range v.Points() {
			words = append(words, pointText(points[0]))
			points = points[1:]
		}
	}
	return strings.Join(words, " ")
}

func pointText(p geometry.Position) string { return p.Across.Digits() + "," + p.Around.Digits() }

func boxText(b geometry.Box) string {
	s := b.Size()
	return "box " + pointText(b.Min) + " " + s.Across.Digits() + "x" + s.Around.Digits()
}

// String writes the inks with their percentages, joined by +: "Cyan 50 %".
// A solid has none.
func (p Paint) String() string {
	words := make([]string, len(p.Tints))
	for i, t := range p.Tints {
		words[i] = t.Ink
		if t.Amount != 1 {
			words[i] += " " + strconv.FormatFloat(100*t.Amount, 'g', 6, 64) + " %"
		}
	}
	s := strings.Join(words, "+")
	if s == "" {
		s = "paper"
	}
	if p.Overprint {
		s += " overprint"
	}
	return s
}
