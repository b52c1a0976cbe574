package contour

import (
	"fmt"
	"strings"

	"quoin/geometry/outline"
	"quoin/impose/say"
)

// Taken says what a drawing gave as the cut: layers, contours, box, area, least
// radius and closed gaps, in one sentence.
func (d *Drawing) Taken() string {
	var b strings.Builder
	if len(d.Layers) > 0 {
		b.WriteString(say.Noun(len(d.Layers), "layer") + " " + strings.Join(d.Layers, ", ") + ": ")
	}
	size := d.Outline.Bounds().Size()
	fmt.Fprintf(&b, "%s, %s, %s mm2", say.Count(len(d.Outline.Contours()), "closed contour"), size, say.Decimals(d.Outline.Area(), 2))
	for _, side := range [...]struct {
		of   outline.Side
		word string
	}{{outline.Convex, "outer"}, {outline.Concave, "inner"}} {
		switch r, bends := d.Outline.LeastRadius(side.of); {
		case bends && r == 0:
			fmt.Fprintf(&b, ", sharp %s corners", side.word)
		case bends:
			fmt.Fprintf(&b, ", least %s radius %s", side.word, say.MM(r.MM()))
		}
	}
	for i, g := range d.Gaps {
		if i == 3 && len(d.Gaps) > 4 {
			fmt.Fprintf(&b, "; %d gaps more were closed", len(d.Gaps)-i)
			break
		}
		fmt.Fprintf(&b, "; a gap of %s at %s was closed", say.MM(g.Width.MM()), g.At)
	}
	return b.String()
}

// Left says what was left out; "" if nothing was.
func (d *Drawing) Left() string {
	var list []string
	for _, s := range d.Skipped {
		list = append(list, s.String())
	}
	return strings.Join(list, ", ")
}
