package preview

import (
	"bytes"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
)

// TestSeamIsCutOff shows a round label across the seam at both ends of the
// frame, clipped to its circle, and nothing of it beyond the frame.
func TestSeamIsCutOff(t *testing.T) {
	const mm = geometry.Millimetre
	trim := geometry.BoxAt(geometry.Position{Across: 10 * mm, Around: -10 * mm}, geometry.Size{Across: 20 * mm, Around: 20 * mm})
	st := geometry.Station{Lane: 1, Row: 1, Trim: trim, Clip: trim}
	l := &geometry.Layout{Web: geometry.Web{Width: 40 * mm}, Repeat: 60 * mm, Shaped: true, Across: 1, Around: 1, Station: []geometry.Station{st}}
	f := draw.Frame{Size: geometry.Size{Across: 40 * mm, Around: 60 * mm}}
	moves := append([]geometry.Length{0}, l.Shifts(st)...)
	for _, m := range moves {
		at := trim.Moved(geometry.Size{Around: m})
		f.Items = append(f.Items, draw.Place{Trim: at, Clip: draw.Ellipse(at)})
	}
	var b bytes.Buffer
	if err := SVG(&b, f, nil, Options{Layout: l}); err != nil {
		t.Fatal(err)
	}
	svg := b.String()
	if n := strings.Count(svg, `id="station-1-1"`); n != 1 {
		t.Errorf("the station's id stands %d times", n)
	}
	cover := strings.LastIndex(svg, `fill="`+wall+`"`)
	if cover < strings.LastIndex(svg, outline) {
		t.Error("what reaches over the seam is not covered")
	}
	b.Reset()
	if err := SVG(&b, f, nil, Options{Layout: l, Pictures: []string{"a.png"}}); err != nil {
		t.Fatal(err)
	}
	if clips, used := strings.Count(b.String(), "<clipPath "), strings.Count(b.String(), `clip-path="url(#clip10_`); clips != 2 || used != 2 {
		t.Errorf("%d clips, %d used", clips, used)
	}

	f.Items = f.Items[:0]
	inside := trim.Moved(geometry.Size{Around: 20 * mm})
	f.Items = append(f.Items, draw.Place{Trim: inside, Clip: draw.Rectangle(inside)})
	if overhangs(f) {
		t.Error("a label inside reaches over the seam")
	}
}
