package impose

import (
	"fmt"

	"quoin/geometry"
	"quoin/impose/contour"
	"quoin/impose/draw"
	"quoin/impose/mark"
	"quoin/impose/press"
	"quoin/impose/summary"
)

// Imposition is a job worked out: the third stage. Its frame is ready to be
// written, looked at and summed up.
type Imposition struct {
	*Planned
	Frame   draw.Frame       // as it is seen: for the second surface, the press mirrors it
	AsSeen  *geometry.Layout // on which the frame is composed: for the second surface, mirrored
	Patches []mark.Patch     // on the printed face
	Marks   []summary.Mark   // what was laid
	RIP     *summary.RIP     // what it costs the RIP

	face     face
	costs    []press.Cost // by artwork
	track    geometry.Box // of the eye mark, as seen; empty without one
	eyes     []geometry.Box
	matrix   []geometry.Box   // what stands on bleed between labels
	breaches []summary.Breach // what stands in the way of the PDF/X-4 marker
	said     remarks
}

// compose fills the frame: the artworks first, then what the engine adds.
// Marks come last, so that nothing paints over them (ISO 32000-2 8.6.6.4).
func compose(p *Planned) (*Imposition, error) {
	f := face{web: p.Layout.Web.Width, mirrored: p.Job.Mirror}
	seen := f.layout(p.Layout)
	labels, err := placeLabels(p, seen)
	if err != nil {
		return nil, err
	}
	frame := draw.Frame{Size: geometry.Size{Across: seen.Web.Width, Around: seen.Repeat}}
	for _, label := range labels {
		frame.Items = append(frame.Items, label)
	}
	cut, found := drawCut(p, seen)
	frame.Items = append(frame.Items, cut...)
	if p.cutting == "" {
		frame.Items = append(frame.Items, drawDieLines(p, seen)...)
	}
	whites, said, err := drawWhites(p.Job.Inks.Underprint, labels, seen.Shaped)
	if err != nil {
		return nil, err
	}
	frame.Items = append(frame.Items, whites...)
	said.follow(found)
	marks, found, err := layMarks(p, seen, f)
	if err != nil {
		return nil, err
	}
	frame.Items = append(frame.Items, marks.Items...)
	said.follow(found)
	rip, costs, found, err := budget(p, frame)
	if err != nil {
		return nil, err
	}
	said.follow(found)
	return &Imposition{
		RIP: rip, costs: costs,
		Planned: p, Frame: frame, AsSeen: seen, Patches: marks.Patches,
		Marks: laidMarks(p, marks),
		face:  f, track: marks.Track, eyes: marks.Eyes, matrix: marks.Matrix, breaches: breaches(p.Sources, frame), said: said,
	}, nil
}

// placeLabels places the artworks on their stations, in the order of the
// stations. A label across the seam is placed at both ends of the frame.
func placeLabels(p *Planned, seen *geometry.Layout) ([]draw.Place, error) {
	clips, err := labelClips(p, seen)
	if err != nil {
		return nil, err
	}
	var labels []draw.Place
	for i, s := range seen.Station {
		art := p.Places[i]
		if art < 0 {
			continue
		}
		for _, move := range paintings(seen, s) {
			labels = append(labels, draw.Place{Art: art, Trim: s.Trim.Moved(move), Turn: s.Turn, Clip: clips[i].Moved(move)})
		}
	}
	return labels, nil
}

// labelClips returns the path that each station is clipped to: its box, or the
// label's outline with bleed where boxes would reach over neighbours.
func labelClips(p *Planned, seen *geometry.Layout) ([]draw.Path, error) {
	if seen.Shaped {
		paths, err := contour.Clips(p.cuts[0], seen)
		if err != nil {
			return nil, fmt.Errorf("the bleed along the label's outline: %w", err)
		}
		return paths, nil
	}
	paths := make([]draw.Path, len(seen.Station))
	for i, s := range seen.Station {
		paths[i] = draw.Rectangle(s.Clip)
	}
	return paths, nil
}

// paintings returns the moves at which a station is painted: in its place, and
// where a label stands across the seam, at the frame's other end too.
func paintings(l *geometry.Layout, s geometry.Station) []geometry.Size {
	moves := []geometry.Size{{}}
	for _, around := range l.Shifts(s) {
		moves = append(moves, geometry.Size{Around: around})
	}
	return moves
}
