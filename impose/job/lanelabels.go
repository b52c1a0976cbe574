package job

import (
	"fmt"

	"quoin/geometry"
)

// LabelOf returns the size of an artwork's label: its own, or else the job's;
// zero where neither says one.
func LabelOf(j *Job, artwork int) geometry.Size {
	if own := j.Artworks[artwork].Label; own != (geometry.Size{}) {
		return own
	}
	return j.Label
}

// LabelsDiffer reports whether the artworks say labels of different sizes, so that
// each lane is as wide as its artwork's label.
func LabelsDiffer(j *Job) bool {
	for i := range j.Artworks {
		if LabelOf(j, i) != LabelOf(j, 0) {
			return true
		}
	}
	return false
}

// sharedLabel returns the label that all artworks have, or else the job's.
func sharedLabel(j *Job) geometry.Size {
	if len(j.Artworks) > 0 && !LabelsDiffer(j) {
		return LabelOf(j, 0)
	}
	return j.Label
}

// lanesDiffer refuses what lanes of different widths don't go with. What is
// open is refused too: a lane of no artwork would have no width.
func (c *check) lanesDiffer() {
	if !LabelsDiffer(c.job) {
		return
	}
	if c.job.Die != "" {
		c.bad("die", "a die has labels of one size", "leave die out where lanes differ in width: a laser or a sheeter cuts them; or run each size in a job of its own")
	}
	if c.job.Shape != "" && c.job.Shape != geometry.ShapeRectangle {
		c.bad("shape", fmt.Sprintf("labels of different sizes can't share %s as their shape", c.job.Shape), "only rectangles may differ in width; run each size in a job of its own")
	}
	taken, last := map[int]bool{}, 0
	for i, a := range c.job.Artworks {
		key := c.job.ArtworkKey(i)
		if LabelOf(c.job, i) == (geometry.Size{}) {
			c.bad(key+".label", "is missing, and other artworks say theirs", "say label for each artwork, or for the job")
		}
		for _, n := range a.LaneList {
			taken[n], last = true, max(last, n)
		}
	}
	for n := 1; n < last; n++ {
		if !taken[n] {
			c.bad("artworks", fmt.Sprintf("lane %d has no artwork, so nothing says its width", n), "where lanes differ in width, name lanes from 1 on without a blank one")
			break
		}
	}
	switch lanes := lanesTaken(c.job); {
	case lanes == 0:
		c.bad("artworks", "don't say their lanes", "where lanes differ in width, say how many lanes each artwork takes, or which")
	case lanes < c.job.Lanes:
		c.bad("lanes", fmt.Sprintf("the artworks take %d lanes of %d, and nothing says the width of the others", lanes, c.job.Lanes), "leave lanes out: there are as many as the artworks take")
	}
}

// lanesTaken counts the lanes that the artworks say.
func lanesTaken(j *Job) int {
	sum := 0
	for _, a := range j.Artworks {
		sum += a.LaneCount + len(a.LaneList)
	}
	return sum
}
