package verify

import (
	"math"
	"slices"

	"quoin/impose/pdfobj"
)

// overLabels are the layers that may lie over labels: what the job wishes there.
var overLabels = map[string]bool{"white": true, "varnish": true, "data": true, "cutting": true, "die-line": true}

// steps are the processing steps (ISO 19593-1) that parts of a frame hang on,
// by the layer in the plan.
var steps = map[string]string{"cutting": "Cutting", "white": "White", "varnish": "Varnish", "die-line": "Die line"}

// drawnCheck proves what the engine drew beside and over the artworks.
type drawnCheck struct {
	*Result
	plan      *Expected
	doc       *pdfobj.Document
	artworks  []*source
	forms     *forms
	maskForms map[[2]pdfobj.Ref]bool // whether a form has the shape of a label's
	inks      map[string]bool        // that the engine may draw with
}

// on proves what the engine drew: all that is planned and nothing else, in
// its order, in its ink, and off the labels and the eye mark's track.
func (c *drawnCheck) on(where string, all []painted, names map[string]string) {
	plan := c.plan.Written.Drawn
	match := matchDrawn(plan, all)
	found := make([]bool, len(plan))
	for i, p := range all {
		if j := match[i]; j >= 0 {
			found[j] = true
			c.onLayer(where, plan[j], p, names)
			if p.what == "cover" {
				c.cover(where, plan[j], p, all)
			}
		}
	}
	var lost []int
	for j := range plan {
		if !found[j] {
			lost = append(lost, j)
		}
	}
	for i, p := range all {
		if p.what == "label" || match[i] >= 0 {
			continue
		}
		c.stray(where, p, plan, &lost)
	}
	for _, j := range lost {
		d := plan[j]
		c.differs(DrawnMissing, where, "a %s of the %s, %s, is missing at %s", d.What, d.Layer, inkText(d.Inks), c.plan.at(d.BoxPt))
	}
	c.knownInks(where, all)
	c.paintingOrder(where, plan, all, match)
	c.clear(where, plan, all, match)
	c.targets(where, all)
}

// matchDrawn returns for each painted thing the planned one that it is, or -1.
func matchDrawn(plan []drawn, all []painted) []int {
	// A point is 353 micrometres: things in one cell are near.
	cells := map[[2]int][]int{}
	cell := func(b box, dx, dy int) [2]int { return [2]int{int(math.Floor(b[0])) + dx, int(math.Floor(b[1])) + dy} }
	for j, d := range plan {
		cells[cell(d.BoxPt, 0, 0)] = append(cells[cell(d.BoxPt, 0, 0)], j)
	}
	taken := make([]bool, len(plan))
	match := make([]int, len(all))
	for i, p := range all {
		match[i] = -1
		best := -1
		for k := range 9 {
			for _, j := range cells[cell(p.box, k%3-1, k/3-1)] {
				if !taken[j] && (best < 0 || j < best) && plan[j].is(p) {
					best = j
				}
			}
		}
		if best >= 0 {
			match[i], taken[best] = best, true
		}
	}
	return match
}

// is reports whether something painted is the planned thing.
func (d *drawn) is(p painted) bool {
	return d.What == p.what && d.BoxPt.near(p.box) && math.Abs(d.LinePt-p.line) <= micrometre &&
		sameInks(d.Inks, p.inks) && d.Overprint == p.overprint
}

// knownInks proves that no plate comes from what the engine draws.
func (c *drawnCheck) knownInks(where string, all []painted) {
	told := map[string]bool{}
	for _, p := range all {
		for _, t := range p.inks {
			if !c.inks[t.Ink] && !told[t.Ink] {
				told[t.Ink] = true
				c.differs(InkUnknown, where, "a %s at %s is in %q, which is no ink of the job", p.what, c.plan.at(p.box), t.Ink)
			}
		}
	}
}

// onLayer proves what a thing hangs on, and that nothing fades or dashes it.
func (c *drawnCheck) onLayer(where string, d drawn, p painted, names map[string]string) {
	if !p.path.is(d.Path) {
		c.differs(DrawnShape, where, "a %s of the %s at %s has another shape", d.What, d.Layer, c.plan.at(d.BoxPt))
	}
	if p.state != "" {
		c.differs(DrawnState, where, "a %s of the %s at %s is painted with %s", d.What, d.Layer, c.plan.at(d.BoxPt), p.state)
	}
	if want := steps[d.Layer]; names[p.layer] != want {
		c.differs(LayerState, where, "a %s of the %s at %s hangs on the layer %q, not %q", d.What, d.Layer, c.plan.at(d.BoxPt), names[p.layer], want)
	}
}

// stray tells what something is that is not planned, and takes from the lost
// the one that it must have been.
func (c *drawnCheck) stray(where string, p painted, plan []drawn, lost *[]int) {
	for k, j := range *lost {
		d := plan[j]
		if d.What != p.what {
			continue
		}
		switch {
		case d.BoxPt.near(p.box):
			c.differs(DrawnInk, where, "a %s of the %s at %s is %s, not %s", d.What, d.Layer, c.plan.at(d.BoxPt), painting(p.inks, p.line, p.overprint), painting(d.Inks, d.LinePt, d.Overprint))
		case sameInks(d.Inks, p.inks) && alikeSize(d.BoxPt, p.box) && distance(d.BoxPt.centre(), p.box.centre()) < reach:
			from, to := d.BoxPt.centre(), p.box.centre()
			c.differs(DrawnMoved, where, "a %s of the %s, planned at %s, stands %s across and %s around from there", d.What, d.Layer, c.plan.at(d.BoxPt), um(to.x-from.x), um(from.y-to.y))
		default:
			continue
		}
		*lost = slices.Delete(*lost, k, k+1)
		return
	}
	c.differs(DrawnExtra, where, "a %s, %s, is painted at %s, and none is planned there", p.what, inkText(p.inks), c.plan.at(p.box))
}

// reach is how far something is looked for that has moved: 50 mm.
const reach = 50 * pointsPerMM

func alikeSize(a, b box) bool {
	return math.Abs(a[2]-a[0]-b[2]+b[0]) <= micrometre && math.Abs(a[3]-a[1]-b[3]+b[1]) <= micrometre
}

// painting describes inks, line and overprint.
func painting(inks []tint, line float64, over bool) string {
	text := inkText(inks)
	if line > 0 {
		text += ", a line of " + mm(line) + " mm"
	}
	if over {
		text += ", overprinting"
	}
	return text
}

// paintingOrder proves that things are painted in the order of the plan: what
// comes later knocks out what lies beneath.
func (c *drawnCheck) paintingOrder(where string, plan []drawn, all []painted, match []int) {
	under := 0
	for under < len(plan) && plan[under].Under {
		under++
	}
	// Planned things before the artworks count from 0, the artworks are one
	// step, and the others follow.
	latest, last := -1, painted{}
	for i, p := range all {
		at := match[i]
		switch {
		case p.what == "label":
			at = under
		case at < 0:
			continue
		case at >= under:
			at++
		}
		if at < latest {
			c.differs(DrawnOrder, where, "the %s at %s is painted after the %s at %s, not before", p.what, c.plan.at(p.box), last.what, c.plan.at(last.box))
		} else {
			latest, last = at, p
		}
	}
}

// clear proves that nothing lies over a label without the job's wish, and that
// the eye mark stands alone in its track.
func (c *drawnCheck) clear(where string, plan []drawn, all []painted, match []int) {
	track := c.plan.Written.EyeTrackPt
	for i, p := range all {
		if p.what == "label" {
			continue
		}
		wished, eye, matrix := false, false, false
		if j := match[i]; j >= 0 {
			wished, eye, matrix = overLabels[plan[j].Layer], plan[j].Eye, plan[j].Matrix
		}
		for _, part := range p.parts {
			if s := c.labelAt(part, matrix); s != nil && !wished {
				c.differs(OverLabel, where, "a %s, %s, at %s touches the label of lane %d, row %d", p.what, inkText(p.inks), c.plan.at(part), s.Lane, s.Row)
			}
			if track != nil && !eye && !wished && part.crosses(*track) {
				c.differs(OverTrack, where, "a %s, %s, at %s touches the eye mark's track", p.what, inkText(p.inks), c.plan.at(part))
			}
		}
	}
}

// labelAt returns a station whose clip a box touches, or its trim alone where the
// box may lie on bleed; or nil.
func (c *drawnCheck) labelAt(b box, onBleed bool) *Station {
	for i := range c.plan.Stations {
		s := &c.plan.Stations[i]
		if onBleed && b.crosses(s.TrimPt) || !onBleed && b.crosses(s.ClipPt) {
			return s
		}
	}
	return nil
}

// targets proves that an instrument finds each patch: its ink and tint, and no
// other ink in it; on paper, nothing.
func (c *drawnCheck) targets(where string, all []painted) {
	for _, t := range c.plan.Targets {
		var inks []tint
		for _, p := range all {
			if p.what == "label" && p.clip.overlaps(t.BoxPt) {
				c.differs(TargetPaint, where, "target %d lies under the label at %s", t.Number, c.plan.at(p.clip))
			}
			if p.what == "label" || !p.box.overlaps(t.BoxPt) {
				continue
			}
			for _, part := range p.parts {
				if part.overlaps(t.BoxPt) {
					if !part.near(t.BoxPt) {
						c.differs(TargetPaint, where, "target %d at %s is crossed by a %s, %s", t.Number, c.plan.at(t.BoxPt), p.what, inkText(p.inks))
					}
					inks = append(inks, p.inks...)
				}
			}
		}
		if !sameInks(inks, t.Inks) {
			c.differs(TargetPaint, where, "target %d at %s shows %s, not %s", t.Number, c.plan.at(t.BoxPt), inkText(inks), inkText(t.Inks))
		}
	}
}
