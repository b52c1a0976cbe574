package plate

import (
	"context"
	"fmt"
	"math"

	"quoin/impose/artwork"
	"quoin/impose/say"
)

// stands is the difference in the mix of inks from which something is seen: a
// tenth of the tint of the ink that weighs least.
const stands = 2 * 255 / 10

// maxLetters bounds the letters that are looked at.
const maxLetters = 20_000

// nearCut tells of the text and of the small shapes and lines that stand nearer
// to the cut than least, in mm: the nearest of each.
func (c *cut) nearCut(ctx context.Context, report *artwork.CoverageReport, least float64) error {
	letters, err := c.letters(ctx)
	if err != nil {
		return err
	}
	c.tell(report, least, "text", letters, false)
	c.tell(report, least, "a bar, a line or a letter drawn as an outline", c.set.Page.Alone, true)
	return nil
}

// letters returns the boxes of what is set in fonts.
func (c *cut) letters(ctx context.Context) (list []artwork.Rect, err error) {
	if len(c.set.Page.Fonts) == 0 || len(c.set.Inks) == 0 {
		return nil, nil
	}
	b, err := c.set.builder(ctx, trio{0})
	if err != nil {
		return nil, err
	}
	pdf, err := b.build(c.set.Grid.Box)
	if err != nil {
		return nil, err
	}
	sheet, err := c.set.renderer.Open(ctx, pdf)
	if err != nil {
		return nil, err
	}
	defer sheet.Close()
	boxes, err := sheet.Letters(ctx, maxLetters)
	for _, b := range boxes {
		list = append(list, artwork.Rect(b))
	}
	return list, err
}

// tell finds the nearest of the boxes that can be seen. What is a part of a
// picture that goes on to the cut is left out where alone is set.
func (c *cut) tell(report *artwork.CoverageReport, least float64, what string, boxes []artwork.Rect, alone bool) {
	nearest, where, n := math.Inf(1), artwork.Rect{}, 0
	for _, box := range boxes {
		d, foot, inside := c.distance(box, least*c.mm)
		if d /= c.mm; !inside || d <= 0 || d >= least-1e-3 {
			continue
		}
		pixel := 72 / c.set.Grid.DPI / c.set.Page.UserUnit
		from, to := c.spread(artwork.Rect{box[0] - pixel, box[1] - pixel, box[2] + pixel, box[3] + pixel})
		if to-from < stands || alone && !c.plain(box, foot) {
			continue
		}
		n++
		if d < nearest {
			nearest, where = d, box
		}
	}
	if n == 0 {
		return
	}
	more := ""
	if n > 1 {
		more = fmt.Sprintf(" (%d such in all)", n)
	}
	report.Find(artwork.NearCut, "%s stands %s mm from %s, %s%s: less than the %s mm that the cut may be off from the print", what, say.Fixed(nearest, 2), c.by, c.set.Page.Where(where), more, say.Rough(least, 4))
}

// plain reports whether nothing changes between a box and the place of the cut
// that is nearest to it.
func (c *cut) plain(box artwork.Rect, foot [2]float64) bool {
	from := [2]float64{min(max(foot[0], box[0]), box[2]), min(max(foot[1], box[1]), box[3])}
	length := math.Hypot(foot[0]-from[0], foot[1]-from[1])
	step := 72 / c.set.Grid.DPI / c.set.Page.UserUnit
	least, most := uint16(math.MaxUint16), uint16(0)
	for t := 1.5 * step; t <= length; t += step / 2 {
		if v, ok := c.at(c.mixed, from[0]+(foot[0]-from[0])*t/length, from[1]+(foot[1]-from[1])*t/length); ok {
			least, most = min(least, v), max(most, v)
		}
	}
	return most < least || most-least < stands/2
}

// distance returns how far a box is from the cut, in units of the page, the place
// of the cut that is nearest, and whether the box lies within the label. What is
// farther than most counts as endlessly far: a frame has a ring for each of its
// labels, nearly all of which are.
func (c *cut) distance(box artwork.Rect, most float64) (least float64, foot [2]float64, inside bool) {
	least = math.Inf(1)
	middle := [2]float64{(box[0] + box[2]) / 2, (box[1] + box[3]) / 2}
	around := artwork.Rect{box[0] - most, box[1] - most, box[2] + most, box[3] + most}
	for i, ring := range c.rings {
		if !meet(c.extents[i], around) { // nor is the box's middle inside of it
			continue
		}
		a := ring[len(ring)-1]
		for _, b := range ring {
			if meet(artwork.Rect{min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])}, around) {
				if d, at := segment(box, a, b); d < least {
					least, foot = d, at
				}
			}
			if (a[1] > middle[1]) != (b[1] > middle[1]) && middle[0] < a[0]+(middle[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
				inside = !inside
			}
			a = b
		}
	}
	return least, foot, inside
}

// meet reports whether boxes have a place in common; lines are boxes without area.
func meet(a, b artwork.Rect) bool {
	return a[0] <= b[2] && b[0] <= a[2] && a[1] <= b[3] && b[1] <= a[3]
}

// segment returns the distance of a line from a box, and its place that is nearest:
// an end of the line, or the place nearest to a corner of the box. A line that
// passes through the box is no distance away.
func segment(box artwork.Rect, a, b [2]float64) (float64, [2]float64) {
	best, at := math.Inf(1), a
	try := func(p [2]float64, from [2]float64) {
		if d := math.Hypot(p[0]-from[0], p[1]-from[1]); d < best {
			best, at = d, p
		}
	}
	for _, p := range [][2]float64{a, b} {
		try(p, [2]float64{min(max(p[0], box[0]), box[2]), min(max(p[1], box[1]), box[3])})
	}
	dx, dy := b[0]-a[0], b[1]-a[1]
	for _, corner := range [][2]float64{{box[0], box[1]}, {box[2], box[1]}, {box[2], box[3]}, {box[0], box[3]}} {
		t := 0.0
		if n := dx*dx + dy*dy; n > 0 {
			t = min(max(((corner[0]-a[0])*dx+(corner[1]-a[1])*dy)/n, 0), 1)
		}
		try([2]float64{a[0] + t*dx, a[1] + t*dy}, corner)
	}
	if crosses(box, a, b) {
		return 0, at
	}
	return best, at
}

// crosses reports whether a line passes through a box, by clipping it.
func crosses(box artwork.Rect, a, b [2]float64) bool {
	from, to := 0.0, 1.0
	for axis := range 2 {
		d := b[axis] - a[axis]
		if d == 0 {
			if a[axis] < box[axis] || a[axis] > box[axis+2] {
				return false
			}
			continue
		}
		t0, t1 := (box[axis]-a[axis])/d, (box[axis+2]-a[axis])/d
		from, to = max(from, min(t0, t1)), min(to, max(t0, t1))
	}
	return from <= to
}
