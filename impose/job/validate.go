package job

import (
	"fmt"
	"slices"
	"strings"

	"quoin/geometry"
)

// Validate says what is missing, and what contradicts itself, in a job that
// file and flags have filled. It gives nil or a *FileError, which includes the
// faults found while reading. Whether the labels fit is geometry's to say.
func (j *Job) Validate() error {
	c := check{j, slices.Clone(j.faults)}
	c.web(j.WebWidth)
	c.frame()
	c.die()
	c.artworks()
	c.lanes()
	c.lanesDiffer()
	c.rules()
	c.data()
	return c.err()
}

// ValidateFit is Validate for a job that is only asked which die, web and turn
// serve it: artworks may be missing, and so may the web where the press knows
// some.
func (j *Job) ValidateFit() error {
	c := check{j, slices.Clone(j.faults)}
	for _, w := range Webs(j) {
		c.web(w.Width)
	}
	c.frame()
	c.rules()
	if LabelsDiffer(c.job) {
		c.bad("artworks", "have labels of different sizes", "ask about one label at a time, as in quoin fit --label 50x75mm")
	}
	return c.err()
}

type check struct {
	job    *Job
	faults []Fault
}

// bad adds a fault of a key, unless the file's own reading of it failed.
func (c *check) bad(key, what, hint string) {
	for _, f := range c.job.faults {
		if f.Key == key || strings.HasPrefix(key, f.Key+"[") || strings.HasPrefix(key, f.Key+".") {
			return
		}
	}
	c.faults = append(c.faults, Fault{Position: c.job.At(key), Key: key, Of: key, What: what, Hint: hint})
}

func (c *check) err() error {
	if len(c.faults) == 0 {
		return nil
	}
	return (&FileError{Path: c.job.source.path, Faults: c.faults}).sorted()
}

func (c *check) web(width geometry.Length) {
	switch p := c.job.Press; {
	case width == 0:
		c.bad("web", missing, "say the width of the material, as in 340mm")
	case p != nil && width > p.WebMax && p.WebMax > 0:
		c.bad("web", fmt.Sprintf("%s is wider than the %s that %s takes", width, p.WebMax, p.Name), "")
	case p != nil && width < p.WebMin:
		c.bad("web", fmt.Sprintf("%s is narrower than the %s that %s needs", width, p.WebMin, p.Name), "")
	}
}

// die checks that the die is there, and that nothing else wants to lay out the
// frame.
func (c *check) die() {
	if c.job.Die == "" {
		return
	}
	if c.job.Dies == nil {
		c.bad("die", fmt.Sprintf("%q is in no library", c.job.Die), "name the die library with dies")
		return
	}
	if c.job.Tool() == nil {
		hint := "numbers are compared as written: 0042 is not 42"
		if meant := c.job.Dies.Meant(c.job.Die); meant != "" {
			hint = meant
		}
		c.bad("die", fmt.Sprintf("%q is not in the library %s", c.job.Die, c.job.Dies.path), hint)
	}
	if c.job.Shift != 0 {
		c.bad("shift", "a die stands in the middle of the web", "leave shift out, or the die")
	}
}

func (c *check) frame() {
	r := c.job.Request().Repeat
	if r == (geometry.Repeat{}) {
		c.bad("frame-max", missing, "say one of frame-max, repeat, and teeth with pitch, or name a press")
	} else if p := c.job.Press; p != nil && p.LongestFrame > 0 && max(r.Max, r.Fixed) > p.LongestFrame {
		key := "frame-max"
		switch {
		case c.job.Repeat.Teeth > 0:
			key = "teeth"
		case c.job.Repeat.Fixed > 0:
			key = "repeat"
		}
		c.bad(key, fmt.Sprintf("%s is longer than the longest frame of %s, %s", max(r.Max, r.Fixed), p.Name, p.LongestFrame), "")
	}
}

func (c *check) artworks() {
	if len(c.job.Artworks) == 0 {
		c.bad("artworks", "are missing", "name at least one, with its file and quantity")
	}
	for i, a := range c.job.Artworks {
		key := c.job.ArtworkKey(i)
		if a.File == "" {
			c.bad(key+".file", missing, "")
		}
		if a.Page < 1 {
			c.bad(key+".page", fmt.Sprintf("%d is no page", a.Page), "the first page is 1")
		}
		if a.Quantity < 1 && Ordered(c.job) {
			c.bad(key+".quantity", missing, "say how many labels of it are ordered, or leave the quantity out for all artworks")
		}
		if a.DrugLabel && len(c.job.Artworks) > 1 {
			c.bad(key+".drug-label", "a drug label shares the frame with other artworks", DrugLabelCaution)
		}
	}
}

// Ordered reports whether the job says how many labels are ordered. Without it
// there is a frame, and what 1,000 labels take.
func Ordered(j *Job) bool {
	return slices.ContainsFunc(j.Artworks, func(a Artwork) bool { return a.Quantity > 0 })
}

// DrugLabelCaution says why drug labels don't share a frame.
const DrugLabelCaution = "run it in a job of its own: gang printing of drug labels invites mix-ups and is restricted by law " +
	"(in the US, 21 CFR 211.122(f)); the customer's quality unit and local law decide"

// DrugLabelRun says what a run of drug labels asks of the pressroom: common
// practice; line clearance and reconciliation as in 21 CFR 211.125 and 211.130,
// from memory.
const DrugLabelRun = "clear the line before and after the run, count the labels and reconcile them, waste included, " +
	"and leave none behind; local rules and the customer's licensed quality unit decide"

// lanes checks that the artworks share the lanes in one way, without overlap.
func (c *check) lanes() {
	counted, listed := 0, 0
	taken := map[int]int{} // artwork of each lane, from 1
	for i, a := range c.job.Artworks {
		key := c.job.ArtworkKey(i) + ".lanes"
		switch {
		case a.LaneCount > 0 && len(a.LaneList) > 0:
			c.bad(key, "are both counted and listed", "")
		case a.LaneCount > 0:
			counted++
		case len(a.LaneList) > 0:
			listed++
		}
		for _, n := range a.LaneList {
			if other, twice := taken[n]; twice {
				c.bad(key, fmt.Sprintf("lane %d is already taken by artwork %d", n, other), "")
			} else if n < 1 || c.job.Lanes > 0 && n > c.job.Lanes {
				c.bad(key, fmt.Sprintf("there is no lane %d", n), "lanes count from 1 at the web's left edge")
			}
			taken[n] = i + 1
		}
	}
	if most := max(counted, listed); most > 0 && most < len(c.job.Artworks) {
		c.bad("artworks", "don't all say their lanes in the same way",
			"count lanes for all artworks, or list them for all, or leave lanes out to share them by quantity")
	} else if sum := lanesTaken(c.job); c.job.Lanes > 0 && sum > c.job.Lanes {
		c.bad("lanes", fmt.Sprintf("the artworks take %d lanes of %d", sum, c.job.Lanes), "")
	}
}

func (c *check) rules() {
	if c.job.Radius != nil && *c.job.Radius > 0 && c.job.Shape != "" && c.job.Shape != geometry.ShapeRectangle {
		c.bad("radius", "only a rectangle has one", "leave radius out, or shape")
	}
	if (c.job.Shape == geometry.ShapeOutline) != (c.job.Outline != "") {
		c.bad("outline", "shape and outline belong together", "name the DXF or SVG file with the label's contour, or say artwork for its own die line")
	}
	if c.job.OutlineLayer != "" && (c.job.Outline == "" || c.job.Outline == ArtworkOutline) {
		c.bad("outline-layer", "there is no drawing whose layer it could be", "name the DXF or SVG file with outline")
	}
	c.nest()
	if e := c.job.Marks.Eye; e != nil && e.Track < e.Size.Across {
		c.bad("marks.eye.track", fmt.Sprintf("%s is narrower than the mark, %s", e.Track, e.Size.Across), "")
	}
	if c.job.Winding != nil {
		c.winding("winding", *c.job.Winding)
	}
	c.windings()
	if m, p := c.job.Material.Caliper, c.job.Press; p != nil && m > 0 && p.Stock.Thickest > 0 &&
		(m < p.Stock.Thinnest || m > p.Stock.Thickest) {
		c.bad("material.caliper", fmt.Sprintf("%s is outside the %s to %s that %s runs",
			m, p.Stock.Thinnest, p.Stock.Thickest, p.Name), "")
	}
}

// nest refuses what a nested layout decides itself.
func (c *check) nest() {
	if !c.job.Nest {
		return
	}
	for _, k := range []struct {
		key  string
		said bool
	}{{"die", c.job.Die != ""}, {"lanes", c.job.Lanes > 0}, {"rows", c.job.Rows > 0}, {"shift", c.job.Shift != 0}} {
		if k.said {
			c.bad(k.key, "a nested layout decides it", "leave "+k.key+" out, or nest")
		}
	}
	for i, a := range c.job.Artworks {
		if a.LaneCount > 0 || len(a.LaneList) > 0 || a.StationCount > 0 {
			c.bad(c.job.ArtworkKey(i), "a nested layout decides the lanes", "leave the artwork's lanes and stations out, or nest")
		}
	}
	if len(c.job.Artworks) > 1 {
		c.bad("nest", "the lanes of a nested layout can't always be slit apart", "run each artwork in a job of its own")
	}
}

// winding checks that the turn that the winding needs is known and allowed.
func (c *check) winding(key string, w geometry.Winding) {
	if c.job.Route().Windings == 0 {
		c.bad("windings", missing, "say how often the web is wound up before the customer has it: "+
			"1 in line, 2 with a separate finishing line")
		return
	}
	need, err := w.Turn(c.job.Route())
	if err != nil {
		c.bad(key, err.Error(), "")
	} else if len(c.job.Turns) > 0 && !slices.Contains(c.job.Turns, need) {
		c.bad("turn", fmt.Sprintf("so that %s after %d windings, the label must be turned by %s degrees",
			w.Leading, c.job.Route().Windings, need), "leave turn out: the winding decides it")
	}
}
