package outline

import (
	"errors"
	"fmt"
	"sort"

	"quoin/geometry"
)

// Outline is a label's shape: what an odd number of its contours encloses. It
// is never changed after New made it. The zero Outline is empty.
type Outline struct {
	contours []Contour
	bounds   geometry.Box
}

// New makes an outline of contours in any order and sense. It refuses contours
// that are open, enclose nothing, cross themselves or one another, or lie
// farther out than Reach.
//
// Inside the outline, contours run so that the shape lies on the side towards
// which a positive bulge turns: outer contours clockwise as seen, holes the
// other way. So the shape is filled alike by the even-odd and by the nonzero
// rule.
func New(contours ...Contour) (Outline, error) {
	if len(contours) == 0 {
		return Outline{}, errors.New("the outline has no contour")
	}
	o := Outline{contours: make([]Contour, len(contours))}
	for i, c := range contours {
		clean, err := c.clean()
		if err != nil {
			return Outline{}, err
		}
		if clean.signedArea() == 0 {
			return Outline{}, fmt.Errorf("the contour at %s encloses no area", place(c.Start))
		}
		o.contours[i] = clean
	}
	rings := o.rings(Flatness)
	if p, crossed := crossing(rings); crossed {
		return Outline{}, fmt.Errorf("the outline crosses itself near %s", place(geometry.Position{Across: geometry.Length(p.x), Around: geometry.Length(p.y)}))
	}
	o.orient(rings)
	o.bounds = boundsOf(o.contours)
	return o, nil
}

// must is New for contours that this package made itself of valid parts.
func must(contours ...Contour) Outline {
	o := Outline{contours: contours}
	o.bounds = boundsOf(contours)
	return o
}

// orient turns each contour by the number of others around it.
func (o *Outline) orient(rings [][]pt) {
	for i := range o.contours {
		depth := 0
		for j := range rings {
			if i != j && ringInside(rings[i], rings[j]) {
				depth++
			}
		}
		if positive := o.contours[i].signedArea() > 0; positive != (depth%2 == 0) {
			o.contours[i] = o.contours[i].reversed()
		}
	}
}

// Contours gives the contours. The caller must not change them.
func (o Outline) Contours() []Contour { return o.contours }

// Empty tells whether there is no contour.
func (o Outline) Empty() bool { return len(o.contours) == 0 }

// Moved gives the outline moved by s.
func (o Outline) Moved(s geometry.Size) Outline {
	m := Outline{contours: make([]Contour, len(o.contours)), bounds: o.bounds.Moved(s)}
	for i, c := range o.contours {
		m.contours[i] = c.mapped(func(p geometry.Position) geometry.Position { return p.Add(s) })
	}
	return m
}

// At gives the outline moved so that its bounds begin at p, as a station's trim
// box does.
func (o Outline) At(p geometry.Position) Outline {
	return o.Moved(geometry.Size{Across: p.Across - o.bounds.Min.Across, Around: p.Around - o.bounds.Min.Around})
}

// Turned gives the outline turned about the origin, counter-clockwise as seen.
func (o Outline) Turned(t geometry.Turn) Outline {
	turn := func(p geometry.Position) geometry.Position {
		switch t % 4 {
		case geometry.Turn90:
			return geometry.Position{Across: p.Around, Around: -p.Across}
		case geometry.Turn180:
			return geometry.Position{Across: -p.Across, Around: -p.Around}
		case geometry.Turn270:
			return geometry.Position{Across: -p.Around, Around: p.Across}
		}
		return p
	}
	m := Outline{contours: make([]Contour, len(o.contours))}
	for i, c := range o.contours {
		m.contours[i] = c.mapped(turn)
	}
	a, b := turn(o.bounds.Min), turn(o.bounds.Max)
	m.bounds = geometry.Box{
		Min: geometry.Position{Across: min(a.Across, b.Across), Around: min(a.Around, b.Around)},
		Max: geometry.Position{Across: max(a.Across, b.Across), Around: max(a.Around, b.Around)},
	}
	return m
}

// Parts cuts the outline into its separate pieces, each an outer contour with
// its holes, from the leading end on and from left to right. A die's drawing of
// many stations falls into its labels.
func (o Outline) Parts() []Outline {
	rings := o.rings(Flatness)
	var parts []Outline
	for i, c := range o.contours {
		if c.signedArea() < 0 {
			continue
		}
		part := []Contour{c}
		for j, hole := range o.contours {
			if hole.signedArea() < 0 && o.innermostAround(rings, j) == i {
				part = append(part, hole)
			}
		}
		parts = append(parts, must(part...))
	}
	sort.SliceStable(parts, func(i, j int) bool {
		a, b := parts[i].bounds.Min, parts[j].bounds.Min
		if a.Around != b.Around {
			return a.Around < b.Around
		}
		return a.Across < b.Across
	})
	return parts
}

// innermostAround gives the outer contour directly around a hole.
func (o Outline) innermostAround(rings [][]pt, hole int) int {
	best, least := -1, 0.0
	for i := range o.contours {
		area := o.contours[i].signedArea()
		if area > 0 && (best < 0 || area < least) && ringInside(rings[hole], rings[i]) {
			best, least = i, area
		}
	}
	return best
}
