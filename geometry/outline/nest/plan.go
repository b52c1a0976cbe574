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
		Gap: r.Gap, Bleed: r.Bleed, Repeat: r.Repeat, Turns: turns,
	})
	if err != nil {
		return nil, err
	}
	p := planner{r: r, shape: shape, keeper: &keeper{shape: shape, gap: r.Gap}}
	found := []*Arrangement{p.straight(straight)}
	result := &Result{}
	if result.Bound, result.BoundBy, err = p.bound(); err != nil {
		return nil, err
	}
	if found[0].PerMetre() < result.Bound {
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
	result.Arrangements = found
	return result, nil
}

type planner struct {
	r      Request
	shape  outline.Outline
	keeper *keeper
}

func (p *planner) room() geometry.Length { return p.r.Web.Band() - 2*p.r.Bleed }

// patterns gives the best arrangement of each pattern other than straight.
func (p *planner) patterns(turns []geometry.Turn, straight *Arrangement) ([]*Arrangement, error) {
	fs, err := families(p.keeper, turns)
	if err != nil {
		return nil, err
	}
	best := map[Pattern]*Arrangement{}
	var even *Arrangement // of the staggered, by half a pitch
	for _, f := range fs {
		if f.size.Across > p.room() {
			continue
		}
		p.arrange(f, straight, func(a *Arrangement) {
			if b := best[a.Pattern]; b == nil || a.beats(b) {
				best[a.Pattern] = a
			}
			if a.Pattern == Staggered && a.evenly() && (even == nil || a.beats(even)) {
				even = a
			}
		})
	}
	var found []*Arrangement
	rival := straight
	for _, pattern := range [...]Pattern{Interlocked, Staggered, Alternating, Sheared, Paired} {
		a := best[pattern]
		if a == nil || !a.beats(rival) || a.Turned() > 0 && rival.Turned() == 0 && a.PerMetre() < rival.PerMetre()*(1+worthTurning) {
			// A pattern that is no better than a simpler one says nothing; but that a
			// stagger loses is worth knowing.
			if a = even; a == nil || pattern != Staggered {
				continue
			}
		} else {
			rival = a
		}
		p.finish(a)
		found = append(found, a)
	}
	return found, nil
}

// worthTurning is the least gain for which labels stand upside down against
// others: less comes from how a drawing's curves stray from true ones.
const worthTurning = 1e-4

// worth is how near to the best so far a spot must come, by the flattened
// outlines, to be settled on the true ones: those differ by a few micrometres in
// a label's size.
const worth = 0.998

// arrange calls f with the arrangements of a family that are worth comparing. A
// pattern that runs on may also stand apart, with an odd number of rows.
func (p *planner) arrange(f *family, straight *Arrangement, found func(*Arrangement)) {
	fr := frame{room: p.room(), repeat: p.r.Repeat, gap: p.r.Gap.Around, height: f.size.Around}
	seams := []Seam{Running, Apart}
	if p.r.Seam == Apart {
		seams = seams[1:]
	} else if f.sheared {
		seams = seams[:1] // slanted rows gain nothing by ending with the frame
	}
	spots := fr.search(f, seams)
	most := straight.PerMetre()
	for _, seam := range seams {
		for _, s := range spots[seam] {
			for _, t := range fr.tidied(f, s) {
				if fr.score(f, t, seam)*float64(geometry.Metre) < worth*most {
					continue
				}
				if a := p.settled(f, &fr, t, seam); a != nil {
					most = max(most, a.PerMetre())
					found(a)
				}
			}
		}
		if f.pair() && f.turns[0] == f.turns[1] {
			if s, ok := fr.even(f, seam); ok {
				if a := p.settled(f, &fr, s, seam); a != nil {
					found(a)
				}
			}
		}
	}
}

// nudges are moves of pitch and stagger, in hairlines: where upright sides just
// pass each other the search sees room that the true outlines don't leave.
var nudges = [...][2]geometry.Length{{0, 0}, {0, 2}, {0, -2}, {2, 0}, {2, 2}, {4, 2}, {4, 4}}

// settled makes the arrangement of a spot, nil where the true outlines don't
// allow it.
func (p *planner) settled(f *family, fr *frame, s spot, seam Seam) *Arrangement {
	for _, n := range nudges {
		t := s
		t.pitch += float64(n[0] * hairline)
		if t.stagger += float64(n[1] * hairline); !f.pair() && n[1] != 0 || t.stagger < 0 {
			continue
		}
		settled, ok := f.settle(t, fr.room)
		if !ok {
			continue
		}
		for _, c := range fr.courses(f, settled, seam) {
			if a := p.lay(f, settled, c); a != nil {
				return a
			}
		}
	}
	return nil
}
