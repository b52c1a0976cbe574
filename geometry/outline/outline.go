package outline

import (
	"errors"
	"fmt"
	"slices"
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
// that are open, enclose nothing, cross themselves or one another, lie on each
// other, or lie farther out than Reach; the error is then a *Fault.
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
			return Outline{}, &Fault{"the contour encloses no area", c.Start}
		}
		o.contours[i] = clean
	}
	if n := o.corners(); n > mostCorners {
		return Outline{}, fmt.Errorf("the outline is too intricate: flattened it has %.0f corners, and %d are possible", n, mostCorners)
	}
	rings := o.rings(Flatness)
	p, crossed, exhausted := crossing(rings)
	if exhausted {
		return Outline{}, errors.New("the outline is too intricate: too many of its lines lie on top of each other")
	}
	if crossed {
		return Outline{}, &Fault{"the outline crosses itself", geometry.Position{Across: geometry.Length(p.x), Around: geometry.Length(p.y)}}
	}
	if i, twice := doubled(rings); twice {
		return Outline{}, &Fault{"two contours lie on each other", o.contours[i].Start}
	}
	o.orient(rings)
	o.bounds = boundsOf(o.contours)
	return o, nil
}

// doubled finds a ring with the corners of one before, wherever it begins and
// whichever way it runs.
func doubled(rings [][]pt) (which int, found bool) {
	seen := map[ringBox][][]pt{}
	for i, ring := range rings {
		box := boxOfRing(ring)
		corners := slices.SortedFunc(slices.Values(ring), comparePt)
		if slices.ContainsFunc(seen[box], func(other []pt) bool { return slices.Equal(other, corners) }) {
			return i, true
		}
		seen[box] = append(seen[box], corners)
	}
	return 0, false
}

// mostCorners bounds the corners of a flattened outline. A die of 500 stations
// with 40 mm of curved line each at Flatness stays under it, and finding
// crossings among so many takes about a second.
const mostCorners = 400_000

// corners counts the corners that the flattened outline will have.
func (o Outline) corners() float64 {
	n := 0.0
	for _, c := range o.contours {
		for _, p := range c.prims() {
			n += float64(p.pieces(float64(Flatness)))
		}
	}
	return n
}

// must is New for contours that this package made itself of valid parts.
func must(contours ...Contour) Outline {
	o := Outline{contours: contours}
	o.bounds = boundsOf(contours)
	return o
}

// orient turns each contour by the number of others around it.
func (o *Outline) orient(rings [][]pt) {
	boxes := boxesOf(rings)
	for i := range o.contours {
		depth := 0
		for j := range rings {
			if i != j && boxes[j].holds(boxes[i]) && ringInside(rings[i], rings[j]) {
				depth++
			}
		}
		if positive := o.contours[i].signedArea() > 0; positive != (depth%2 == 0) {
			o.contours[i] = o.contours[i].reversed()
		}
	}
}

// Contours returns the contours. The caller must not change them.
func (o Outline) Contours() []Contour { return o.contours }

// Empty reports whether there is no contour.
func (o Outline) Empty() bool { return len(o.contours) == 0 }

// Moved returns the outline moved by s.
func (o Outline) Moved(s geometry.Size) Outline {
	m := Outline{contours: make([]Contour, len(o.contours)), bounds: o.bounds.Moved(s)}
	for i, c := range o.contours {
		m.contours[i] = c.mapped(func(p geometry.Position) geometry.Position { return p.Add(s) })
	}
	return m
}

// At returns the outline moved so that its bounds begin at p, as a station's trim
// box does.
func (o Outline) At(p geometry.Position) Outline {
	return o.Moved(geometry.Size{Across: p.Across - o.bounds.Min.Across, Around: p.Around - o.bounds.Min.Around})
}

// Turned returns the outline turned about the origin, counter-clockwise as seen.
func (o Outline) Turned(t geometry.Turn) Outline {
	turn := func(p geometry.Position) geometry.Position { return p.Turned(t) }
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
	boxes := boxesOf(rings)
	home := map[int]int{} // where each outer contour's part is
	var parts [][]Contour
	for i, c := range o.contours {
		if c.signedArea() < 0 {
			continue
		}
		home[i] = len(parts)
		parts = append(parts, []Contour{c})
	}
	for j, hole := range o.contours {
		if hole.signedArea() >= 0 {
			continue
		}
		best, least := -1, 0.0
		for i := range o.contours {
			area := o.contours[i].signedArea()
			if area > 0 && (best < 0 || area < least) && boxes[i].holds(boxes[j]) && ringInside(rings[j], rings[i]) {
				best, least = i, area
			}
		}
		if best >= 0 {
			parts[home[best]] = append(parts[home[best]], hole)
		}
	}
	out := make([]Outline, len(parts))
	for i, p := range parts {
		out[i] = must(p...)
	}
	sort.SliceStable(out, func(i, j int) bool {
		a, b := out[i].bounds.Min, out[j].bounds.Min
		if a.Around != b.Around {
			return a.Around < b.Around
		}
		return a.Across < b.Across
	})
	return out
}
