package job

import "quoin/geometry"

// WindingOf returns how the rolls of an artwork pay out: as it says itself, or else
// as the job does; nil where neither says.
func (j *Job) WindingOf(artwork int) *geometry.Winding {
	if own := j.Artworks[artwork].Winding; own != nil {
		return own
	}
	return j.Winding
}

// WindingsDiffer reports whether artworks pay out differently, so that the job has
// no winding that holds for all.
func (j *Job) WindingsDiffer() bool {
	for i := range j.Artworks {
		a, b := j.WindingOf(0), j.WindingOf(i)
		if (a == nil) != (b == nil) || a != nil && *a != *b {
			return true
		}
	}
	return false
}

// TurnOf returns the turn that the winding of an artwork needs; said is false where
// nobody says a winding, or how often the web is wound up.
func (j *Job) TurnOf(artwork int) (t geometry.Turn, said bool) {
	return j.turnFor(j.WindingOf(artwork))
}

func (j *Job) turnFor(w *geometry.Winding) (t geometry.Turn, said bool) {
	if w == nil {
		return 0, false
	}
	t, err := w.Turn(j.Route())
	return t, err == nil
}

// woundTurn returns the turn that the frame is laid out with: that of the first
// artwork whose winding is said. The lanes of others may be turned against it.
func (j *Job) woundTurn() (t geometry.Turn, said bool) {
	for i := range j.Artworks {
		if t, said = j.TurnOf(i); said {
			return t, true
		}
	}
	return j.turnFor(j.Winding)
}

// windings checks what artworks say of their own rolls.
func (c *check) windings() {
	for i, a := range c.job.Artworks {
		if a.Winding == nil {
			continue
		}
		key := c.job.ArtworkKey(i) + ".winding"
		switch {
		case c.job.Data != nil:
			c.bad(key, "records run along the web, so all lanes of a run of variable data lie alike", "say one winding for the job, or give the artwork a job of its own")
		case c.job.Nest:
			c.bad(key, "a nested layout decides how its labels lie", "say one winding for the job, or leave nest out")
		default:
			c.winding(key, *a.Winding)
		}
	}
}
