package nest

import (
	"fmt"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// Request is what a layout of shaped labels is planned from.
type Request struct {
	Web   geometry.Web
	Shape outline.Outline // of the upright label
	// Gap is the least distance between two labels. Where across and around
	// differ, the smaller is kept in every direction and the larger along its own
	// axis: a label moved along that axis by the difference keeps the smaller.
	Gap    geometry.Size
	Bleed  geometry.Length // artwork wanted beyond the trim
	Repeat geometry.Repeat
	// Turns are the turns that the winding allows, the one that wins a tie first;
	// none means Turn0. Labels are turned by 180 degrees against each other only
	// where both turns are listed.
	Turns []geometry.Turn
	Seam  Seam
}

// Seam tells what may happen where one frame ends and the next begins.
type Seam uint8

const (
	// Running patterns go on through the seam, as a rotary die's do, and labels
	// may stand across it: the last row meets the first. The frames must join
	// without a step.
	Running Seam = iota
	// Apart keeps every label on its own frame, with half a gap to each end.
	Apart
)

// Pattern names how the labels of a layout stand.
type Pattern string

// The patterns.
const (
	Straight    Pattern = "straight"    // lanes and rows of boxes
	Interlocked Pattern = "interlocked" // lanes and level rows, the outlines reach into each other's boxes
	Staggered   Pattern = "staggered"   // every second row moved across
	Alternating Pattern = "alternating" // every second row turned by 180 degrees, and moved across
	Sheared     Pattern = "sheared"     // rows slant: each lane is moved around against the one to its left
	Paired      Pattern = "paired"      // pairs, one label turned by 180 degrees, in slanting rows
)

// Arrangement is one way to lay the labels.
type Arrangement struct {
	Pattern   Pattern
	Layout    *geometry.Layout
	Clearance geometry.Length // least true distance between two labels, the next frame's too; far ones are not looked for
	Pitch     geometry.Length // across, between neighbours in a row
	Stagger   geometry.Length // across, of the second row against the first
	Period    geometry.Length // around, until the pattern comes again; of a fixed repeat, before it was spread
	PerRow    [2]int          // labels in the first row and in the second
	Crossing  int             // labels that stand across the seam
	Slitting  Slitting

	members int // labels that the pattern repeats
}

// PerMetre returns the labels on a metre of web.
func (a *Arrangement) PerMetre() float64 {
	return float64(a.Layout.Labels()) / a.Layout.Repeat.Metres()
}

// Density returns the share of the plane that the labels would cover if the
// pattern went on without end: what the shape comes to apart from this web and
// this frame.
func (a *Arrangement) Density() float64 {
	return float64(a.members) * a.Layout.Area / (a.Pitch.MM() * a.Period.MM())
}

// Seam says in a sentence how many labels stand across the seam, and what that
// asks for.
func (a *Arrangement) Seam() string {
	switch a.Crossing {
	case 0:
		return "no label stands across the seam"
	case 1:
		return "1 label stands across the seam: frames must join without a step"
	}
	return fmt.Sprintf("%d labels stand across the seam: frames must join without a step", a.Crossing)
}

// Turned counts the labels that stand upside down against the first.
func (a *Arrangement) Turned() (n int) {
	for _, s := range a.Layout.Station {
		if s.Turn != a.Layout.Station[0].Turn {
			n++
		}
	}
	return n
}

// evenly reports whether the second row is moved by half a pitch.
func (a *Arrangement) evenly() bool {
	off := 2*a.Stagger - a.Pitch
	return max(off, -off) <= geometry.Micrometre
}

// beats reports whether a needs less web for each label than b, by the products
// of labels and repeats, in whole numbers.
func (a *Arrangement) beats(b *Arrangement) bool {
	return geometry.Length(a.Layout.Labels())*b.Layout.Repeat > geometry.Length(b.Layout.Labels())*a.Layout.Repeat
}

// Result holds the layouts found, the one that needs the least web first. The
// straight grid is always among them, before what is no better than it.
type Result struct {
	Arrangements []*Arrangement
	// Bound is what no layout whatever can exceed, in labels on a metre; BoundBy
	// says by what reasoning.
	Bound   float64
	BoundBy string
}

// Best returns the layout that needs the least web.
func (r *Result) Best() *Arrangement { return r.Arrangements[0] }

// Of returns the best layout of a pattern, nil where none was found.
func (r *Result) Of(p Pattern) *Arrangement {
	for _, a := range r.Arrangements {
		if a.Pattern == p {
			return a
		}
	}
	return nil
}

// Compare says in one sentence what the arrangement gains over the straight
// grid.
func (r *Result) Compare(a *Arrangement) string {
	s := r.Of(Straight)
	if a == s {
		return fmt.Sprintf("the straight grid holds %s", holds(a))
	}
	gain := 100 * (a.PerMetre()/s.PerMetre() - 1)
	more := "more"
	if gain < 0 {
		gain, more = -gain, "fewer"
	}
	return fmt.Sprintf("%s rows hold %s, %.1f %% %s to the metre than the straight grid with %s",
		a.Pattern, holds(a), gain, more, holds(s))
}

func holds(a *Arrangement) string {
	return fmt.Sprintf("%d labels on %s", a.Layout.Labels(), a.Layout.Repeat)
}
