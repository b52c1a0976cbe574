package verify

import (
	"fmt"
	"math"
	"slices"

	"quoin/impose/pdfobj"
	"quoin/impose/say"
)

func distance(a, b point) float64 { return math.Hypot(a.x-b.x, a.y-b.y) }

// stationCheck proves that the stations of a frame paint what they must.
type stationCheck struct {
	*Result
	plan     *Expected
	doc      *pdfobj.Document
	artworks []*source
	forms    *forms
}

// on proves that each station paints its artwork, and that nothing else
// is painted that way.
func (c *stationCheck) on(where string, all []painted) {
	var places []painted
	for _, p := range all {
		if p.what == "label" {
			places = append(places, p)
		}
	}
	pairs := c.match(places)
	taken := map[int]bool{}
	for i, s := range c.plan.Stations {
		at := fmt.Sprintf("%s, lane %d, row %d", where, s.Lane, s.Row)
		if pairs[i] < 0 {
			c.differs(StationMissing, at, "nothing is placed at %s, where %s is planned", c.plan.at(s.TrimPt), s.Artwork)
			continue
		}
		taken[pairs[i]] = true
		c.Stations++
		c.one(at, s, places[pairs[i]])
	}
	for i, p := range places {
		if !taken[i] {
			c.differs(StationExtra, where, "object %d is placed at %s, where nothing is planned", p.form.Num, c.plan.at(p.clip))
		}
	}
}

// match returns for each station the placement that must be meant for it,
// or -1: the one with its clip, or else the nearest that is left, less than
// half a label away by its clip or by where its artwork would stand.
func (c *stationCheck) match(places []painted) []int {
	stations := c.plan.Stations
	pairs := make([]int, len(stations))
	taken := make([]bool, len(places))
	for i, s := range stations {
		pairs[i] = slices.IndexFunc(places, func(p painted) bool { return s.clips(p.clip) })
		if pairs[i] >= 0 && taken[pairs[i]] {
			pairs[i] = -1
		}
		if pairs[i] >= 0 {
			taken[pairs[i]] = true
		}
	}
	for i, s := range stations {
		if pairs[i] >= 0 {
			continue
		}
		best := min(s.TrimPt[2]-s.TrimPt[0], s.TrimPt[3]-s.TrimPt[1]) / 2
		middle := c.artworks[c.plan.artwork(s)].trim.centre()
		for j, p := range places {
			stands := formMatrix(c.doc, c.doc.Stream(p.form)).then(p.matrix).apply(middle)
			d := min(distance(p.clip.centre(), s.ClipPt.centre()), distance(stands, s.TrimPt.centre()))
			if !taken[j] && d < best {
				best, pairs[i] = d, j
			}
		}
		if pairs[i] >= 0 {
			taken[pairs[i]] = true
		}
	}
	return pairs
}

// one proves one placement: its clip, its state, its matrix, its artwork.
func (c *stationCheck) one(at string, s Station, p painted) {
	if outline := s.ClipShape == "outline"; p.clipped == outline {
		what := map[bool]string{true: "a rectangle, not the label's outline", false: "no rectangle"}[outline]
		c.differs(StationClip, at, "its clip is %s", what)
	} else if outline && !p.around.is(s.ClipPath) {
		c.differs(StationClip, at, "its clip is not the label's outline")
	} else if !s.clips(p.clip) {
		c.differs(StationClip, at, "its clip is %s, not %s", c.plan.at(p.clip), c.plan.at(s.ClipPt))
	}
	if p.state != "" {
		c.differs(StationState, at, "the artwork inherits %s from what is painted before", p.state)
	}
	if p.layer != "" {
		c.differs(StationState, at, "the artwork hangs on a layer of the frame")
	}
	want := c.plan.artwork(s)
	form := c.doc.Stream(p.form)
	if !c.forms.shows(p.form, want) {
		for other := range c.artworks {
			if other != want && c.forms.equals(p.form, other) {
				c.differs(WrongArtwork, at, "it shows %s, not %s", c.artworks[other].name(), c.artworks[want].name())
				return
			}
		}
		c.forms.tell(p.form, want) // say what differs
	}
	c.patterns(at, p, formMatrix(c.doc, form).then(p.matrix))
	c.position(at, s, c.artworks[want], formMatrix(c.doc, form).then(p.matrix))
}

// overshoot is how far the control points of an outline's curves may lie
// outside it, as a share of its size: what an arc of 22.5 degrees has, twice.
const overshoot = 0.02

// clips reports whether a clip is the station's: its box, or a path around the
// outline, whose control points may lie a little outside.
func (s Station) clips(clip box) bool {
	if s.ClipShape != "outline" {
		return clip.near(s.ClipPt)
	}
	slack := overshoot * max(s.ClipPt[2]-s.ClipPt[0], s.ClipPt[3]-s.ClipPt[1])
	for i, v := range s.ClipPt {
		out := clip[i] - v // to the right and up
		if i < 2 {
			out = -out
		}
		if out < -micrometre || out > slack {
			return false
		}
	}
	return true
}

// formMatrix returns a form's own matrix.
func formMatrix(doc *pdfobj.Document, form *pdfobj.Stream) matrix {
	if v, ok := doc.Numbers(form.Dict["Matrix"]); ok && len(v) == 6 {
		return matrix(v)
	}
	return identity
}

// position proves where the artwork's trim lands, to a micrometre at each of
// its corners.
func (c *stationCheck) position(at string, s Station, a *source, got matrix) {
	want := c.wanted(s, a)
	worst := 0.0
	for _, p := range a.trim.corners() {
		worst = max(worst, distance(got.apply(p), want.apply(p)))
	}
	if worst <= micrometre {
		return
	}
	scale := math.Sqrt(math.Abs(got[0]*got[3] - got[1]*got[2]))
	size := max(a.trim[2]-a.trim[0], a.trim[3]-a.trim[1])
	linear := 0.0
	for i := range 4 {
		linear = max(linear, math.Abs(got[i]-want[i]))
	}
	mirrored := func(m matrix) bool { return m[0]*m[3]-m[1]*m[2] < 0 }
	switch {
	case linear*size <= micrometre/2:
		from, to := want.apply(a.trim.centre()), got.apply(a.trim.centre())
		c.differs(StationMoved, at, "the label stands %s across and %s around from its place", um(to.x-from.x), um(from.y-to.y))
	case math.Abs(scale/a.unit-1)*size > micrometre:
		c.differs(StationScaled, at, "the label is scaled to %s %%", say.Fixed(100*scale/a.unit, 4))
	default:
		turn := math.Atan2(got[1], got[0])*180/math.Pi + a.rotate
		if mirrored(got) != mirrored(want) {
			c.differs(StationTurned, at, "the label is %s", map[bool]string{true: "mirrored", false: "not mirrored"}[mirrored(got)])
			return
		}
		c.differs(StationTurned, at, "the label is turned %g degrees, not %d", math.Mod(math.Round(turn*1000)/1000+720, 360), s.TurnDeg)
	}
}

// wanted returns the matrix that an artwork must have on a station. On a frame
// that is mirrored as a whole it stands at the mirrored place, turned the other
// way, and then all is mirrored.
func (c *stationCheck) wanted(s Station, a *source) matrix {
	if !c.plan.Written.Mirrored {
		return a.placing(s.TrimPt, s.TurnDeg)
	}
	width := c.plan.Written.SizePt[0]
	trim := box{width - s.TrimPt[2], s.TrimPt[1], width - s.TrimPt[0], s.TrimPt[3]}
	return a.placing(trim, 360-s.TurnDeg).then(matrix{-1, 0, 0, 1, width, 0})
}
