package artwork

import (
	"math"
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/ink"
)

// cutRank orders what may say where a label is cut, the surest first.
type cutRank int

const (
	noCut     cutRank = iota
	stepCut           // a processing step Structural/Cutting
	stepKiss          // a processing step Structural/PartialCutting
	namedCut          // a technical ink whose name speaks of cutting
	technical         // an ink that the job calls technical
)

// cutPaths are the paths of one rank, in upright label space.
type cutPaths struct {
	contours []outline.Contour // open or closed
	inks     []string
}

// maxCutSegments bounds what is kept of a page's die line: the most intricate
// label has some hundreds.
const maxCutSegments = 20_000

// traceCut keeps the course of a path that may turn out to be a cut. Colours are
// set before a path begins (8.2), so its first operator decides.
func traceCut(p *painter, op string, v []float64) {
	if (op == "m" || op == "re") && p.path == nothing && !p.traced {
		p.traced = mayCut(p)
	}
	if !p.traced {
		return
	}
	switch op {
	case "m":
		v = last(v, 2)
		p.course = append(p.course, outline.Contour{Start: uprightAt(p, v, 0)})
	case "l":
		v = last(v, 2)
		extendCourse(p, outline.Segment{To: uprightAt(p, v, 0)})
	case "c":
		v = last(v, 6)
		extendCourse(p, outline.Segment{Curve: true, C1: uprightAt(p, v, 0), C2: uprightAt(p, v, 2), To: uprightAt(p, v, 4)})
	case "v":
		v = last(v, 4)
		if n := len(p.course); n > 0 {
			extendCourse(p, outline.Segment{Curve: true, C1: end(&p.course[n-1]), C2: uprightAt(p, v, 0), To: uprightAt(p, v, 2)})
		}
	case "y":
		v = last(v, 4)
		to := uprightAt(p, v, 2)
		extendCourse(p, outline.Segment{Curve: true, C1: uprightAt(p, v, 0), C2: to, To: to})
	case "re":
		v = last(v, 4)
		x, y, w, h := at(v, 0), at(v, 1), at(v, 2), at(v, 3)
		c := outline.Polygon(placeOnLabel(p, x, y), placeOnLabel(p, x+w, y), placeOnLabel(p, x+w, y+h), placeOnLabel(p, x, y+h))
		p.course = append(p.course, c)
		p.cutsLeft -= len(c.Segments)
	case "h", "s", "b", "b*":
		closeCourse(p)
	}
}

// mayCut reports whether a path that begins now may turn out to be a cut.
func mayCut(p *painter) bool {
	return !p.repeats && p.hidden == 0 && p.masking == 0 && p.cutsLeft > 0 && (rankOf(p, &p.g.fill) != noCut || rankOf(p, &p.g.stroke) != noCut)
}

// closeCourse closes the last subpath. What is drawn next begins at its start.
func closeCourse(p *painter) {
	if n := len(p.course); n > 0 && len(p.course[n-1].Segments) > 0 {
		c := &p.course[n-1]
		c.Close()
		p.course = append(p.course, outline.Contour{Start: c.Start})
	}
}

func extendCourse(p *painter, s outline.Segment) {
	n := len(p.course)
	if n == 0 {
		return
	}
	if p.cutsLeft--; p.cutsLeft >= 0 {
		c := &p.course[n-1]
		c.Segments = append(c.Segments, s)
	}
}

func end(c *outline.Contour) geometry.Position {
	if n := len(c.Segments); n > 0 {
		return c.Segments[n-1].To
	}
	return c.Start
}

func uprightAt(p *painter, v []float64, i int) geometry.Position {
	return placeOnLabel(p, at(v, i), at(v, i+1))
}

// placeOnLabel maps a point of the content to upright label space: the trim's leading
// left corner is the origin, y points down.
func placeOnLabel(p *painter, x, y float64) geometry.Position {
	const perPoint, most = float64(geometry.Inch) / geometry.PointsPerInch, 2 * float64(outline.Reach)
	x, y = p.g.ctm.Then(p.page.FormMatrix()).Apply(x, y)
	length := func(v float64) geometry.Length {
		return geometry.Length(math.Round(min(max(v*perPoint, -most), most)))
	}
	return geometry.Position{Across: length(x), Around: length(p.page.uprightHeight() - y)}
}

// uprightHeight is that of the trim in points.
func (p *Page) uprightHeight() float64 {
	if p.Rotate%180 != 0 {
		return p.Boxes.Trim.Width() * p.UserUnit
	}
	return p.Boxes.Trim.Height() * p.UserUnit
}

// keepCut keeps the path that is painted now, where it prints and is a cut.
func keepCut(p *painter, fill, stroke bool) {
	if !p.seen(p.path).meets(p.area) {
		return
	}
	best, by := noCut, (*colour)(nil)
	try := func(painted bool, c *colour) {
		if r := rankOf(p, c); painted && r != noCut && (best == noCut || r < best) {
			best, by = r, c
		}
	}
	try(fill, &p.g.fill)
	try(stroke, &p.g.stroke)
	if best == noCut {
		return
	}
	paths := &p.cuts[best]
	if fill && !stroke { // a fill closes what it fills, 8.5.3.3
		for i := range p.course {
			p.course[i].Close()
		}
	}
	for _, c := range p.course {
		if len(c.Segments) > 0 {
			paths.contours = append(paths.contours, c)
		}
	}
	by.space.amounts(by.values, func(u *inkUse) {
		if !slices.Contains(paths.inks, u.name) {
			paths.inks = append(paths.inks, u.name)
		}
	})
}

// rankOf tells what a path painted in the colour, where the walk is, says of the
// cut. A step other than cutting says that it is none.
func rankOf(p *painter, c *colour) cutRank {
	if n := len(p.kinds); n > 0 {
		switch p.kinds[n-1].step {
		case Step{"Structural", "Cutting"}:
			return stepCut
		case Step{"Structural", "PartialCutting"}:
			return stepKiss
		}
		return noCut
	}
	sp := c.space
	if sp.family != spotSpace || !sp.isTechnical(p) || len(c.values) > 0 && c.values[0] == 0 {
		return noCut
	}
	name := p.rules.Name(sp.inks[0].name)
	switch {
	case ink.NamesCut(name):
		return namedCut
	case slices.Contains(p.rules.Technical, name):
		return technical
	}
	return noCut
}
