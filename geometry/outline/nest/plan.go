package nest

import (
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// Plan lays the labels in every pattern that the request allows and gives the
// best of each, next to the straight grid. When not even one label fits, the
// error is a *geometry.NotFitError.
func Plan(r Request) (*Result, error) {
	if r.Shape.Empty() {
		return nil, fmt.Errorf("the label has no outline")
	}
	shape := r.Shape.At(geometry.Position{})
	turns := r.Turns
	if len(turns) == 0 {
		turns = []geometry.Turn{geometry.Turn0}
	}
	straight, err := geometry.Plan(geometry.Request{
		Web: r.Web, Label: shape.Bounds().Size(), Area: shape.Area(),
		Gap: geometry.Size{Across: r.Gap, Around: r.Gap}, Bleed: r.Bleed, Repeat: r.Repeat, Turns: turns,
	})
	if err != nil {
		return nil, err
	}
	p := planner{r: r, shape: shape, gauges: map[geometry.Turn]*outline.Gauge{}}
	found := []*Arrangement{p.straight(straight)}
	bound, err := p.bound()
	if err != nil {
		return nil, err
	}
	if found[0].PerMetre() < bound {
		more, err := p.patterns(turns, found[0])
		if err != nil {
			return nil, err
		}
		found = append(found, more...)
	}
	slices.SortStableFunc(found, func(a, b *Arrangement) int {
		switch {
		case a.beats(b):
			return -1
		case b.beats(a):
			return 1
		}
		return 0
	})
	return &Result{Arrangements: found, Bound: bound}, nil
}

type planner struct {
	r      Request
	shape  outline.Outline
	gauges map[geometry.Turn]*outline.Gauge
}

func (p *planner) room() geometry.Length { return p.r.Web.Band() - 2*p.r.Bleed }

// bound gives the labels to the metre that no layout can exceed: grown by half
// the gap, labels don't overlap, and all lie in the band grown by as much.
func (p *planner) bound() (float64, error) {
	half := p.r.Gap / 2
	grown, err := p.shape.Outset(half)
	if err != nil {
		return 0, err
	}
	area := 0.0
	for _, part := range grown.Parts() {
		solid, err := outline.New(part.Contours()[0]) // without its holes
		if err != nil {
			return 0, err
		}
		area += solid.Area()
	}
	return (p.room() + 2*half).MM() * geometry.Metre.MM() / area, nil
}

// patterns gives the best arrangement of each pattern other than straight.
func (p *planner) patterns(turns []geometry.Turn, straight *Arrangement) ([]*Arrangement, error) {
	fs, err := families(p.shape, p.r.Gap, turns)
	if err != nil {
		return nil, err
	}
	var found []*Arrangement
	rival := straight
	for _, pattern := range [...]Pattern{Interlocked, Staggered, Alternating} {
		var best, even *Arrangement
		for _, f := range fs {
			if f.pattern != pattern || f.size.Across > p.room() {
				continue
			}
			for _, a := range p.arrange(f) {
				if best == nil || a.beats(best) {
					best = a
				}
				if a.evenly() && (even == nil || a.beats(even)) {
					even = a
				}
			}
		}
		if best == nil || !best.beats(rival) {
			// A pattern that is no better than a simpler one says nothing; but that a
			// stagger loses is worth knowing.
			if best = even; best == nil || pattern != Staggered {
				continue
			}
		} else {
			rival = best
		}
		p.finish(best)
		found = append(found, best)
	}
	return found, nil
}

// arrange gives the arrangements of a family that are worth comparing. A
// pattern that runs on may also stand apart, with an odd number of rows.
func (p *planner) arrange(f *family) []*Arrangement {
	fr := frame{room: p.room(), repeat: p.r.Repeat, gap: p.r.Gap, height: f.size.Around}
	seams := []Seam{Running, Apart}
	if p.r.Seam == Apart {
		seams = seams[1:]
	}
	var out []*Arrangement
	for _, seam := range seams {
		spots := fr.search(f, seam)
		if s, ok := fr.even(f, seam); ok && f.pattern == Staggered {
			spots = append(spots, s)
		}
		for _, s := range spots {
			for _, t := range fr.tidied(f, s) {
				if a := p.settled(f, &fr, t, seam); a != nil {
					out = append(out, a)
				}
			}
		}
	}
	return out
}

// settled makes the arrangement of a spot, nil where the true outlines don't
// allow it.
func (p *planner) settled(f *family, fr *frame, s spot, seam Seam) *Arrangement {
	settled, ok := f.settle(s, fr.room)
	if !ok {
		return nil
	}
	for _, rows := range fr.rows(f, settled, seam) {
		if a := p.lay(f, settled, rows); a != nil {
			return a
		}
	}
	return nil
}
