package verify

import "fmt"

// winding is how a finished roll pays out, and the turn that is to make it so.
type winding struct {
	Leading  string
	Windings int
	TurnDeg  int `json:"turn_deg"`
}

// turn works out the turn of the labels that lets the edge lead. What was wound last
// comes off first: after one winding the edge that the press prints last, which is
// the bottom of an upright label; each further winding turns that about. Printed on
// the back, left and right change places. Plain geometry.
func (w *winding) turn(mirrored bool) int {
	turn := map[string]int{"bottom": 0, "left": 90, "top": 180, "right": 270}[w.Leading]
	if mirrored && turn%180 == 90 {
		turn += 180
	}
	return (turn + 180*(w.Windings-1)) % 360
}

// wound checks that what the summary says of turns agrees with itself: windings with
// the turns that make them, artworks and lanes with their stations.
func (p *Expected) wound() error {
	mirrored := p.Written.Mirrored
	all := []*winding{p.Winding}
	for _, a := range p.Artworks {
		all = append(all, a.Winding)
	}
	for _, w := range all {
		if w != nil && w.turn(mirrored) != w.TurnDeg {
			return fmt.Errorf("labels turned by %d degrees don't pay out %s edge first after %d windings", w.TurnDeg, w.Leading, w.Windings)
		}
	}
	lanes := map[int]int{}
	for _, l := range p.Lanes {
		if l.TurnDeg != nil {
			lanes[l.Lane] = *l.TurnDeg
		}
	}
	for _, s := range p.Stations {
		if turn, said := lanes[s.Lane]; said && turn != s.TurnDeg {
			return fmt.Errorf("lane %d, row %d: the label is turned by %d degrees, and its lane by %d", s.Lane, s.Row, s.TurnDeg, turn)
		}
		if w := p.Artworks[p.artwork(s)].Winding; w != nil && w.TurnDeg != s.TurnDeg && p.once(s) {
			return fmt.Errorf("lane %d, row %d: the label is turned by %d degrees, and its artwork's winding needs %d", s.Lane, s.Row, s.TurnDeg, w.TurnDeg)
		}
	}
	return nil
}

// once reports whether but one artwork places the page of a station, so that it is
// known which stands there.
func (p *Expected) once(s Station) bool {
	n := 0
	for _, a := range p.Artworks {
		if a.File == s.Artwork && a.Page == s.Page {
			n++
		}
	}
	return n == 1
}
