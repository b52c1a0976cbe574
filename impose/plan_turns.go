package impose

import (
	"fmt"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/job"
	"quoin/impose/say"
)

// turnLanes turns the stations of each artwork as its own winding needs, where the
// frame is laid out for that of another. The tool cuts all alike, so what it cuts
// must be the same when turned.
func turnLanes(in *Sources, l *laid) error {
	as := l.layout.Turn
	seen := map[[3]int]string{} // by lane and both turns
	for i := range l.layout.Station {
		s, art := &l.layout.Station[i], l.places[i]
		if art < 0 {
			continue
		}
		t, said := in.Job.TurnOf(art)
		if !said || t == s.Turn || in.Job.Artworks[art].Winding == nil {
			continue
		}
		key := [3]int{s.Lane, int(s.Turn), int(t)}
		why, known := seen[key]
		if !known {
			why = staysCut(l, s, t)
			seen[key] = why
		}
		if why != "" {
			return say.Refuse(say.NotFit, "run the windings in jobs of their own", "%s asks for %q, so its labels stand at %s degrees and others at %s, and %s",
				in.Job.Artworks[art].File, *in.Job.WindingOf(art), t, as, why)
		}
		s.Turn = t
	}
	if len(l.layout.Station) > 0 {
		l.layout.Turn = l.layout.Station[0].Turn
	}
	return nil
}

// TurnsAlike reports whether what a job cuts is the same when it is turned so: its
// die's cut or, without one, that of the upright label, which is brought where an
// artwork's die line says it. What can't be read is not.
func TurnsAlike(j *job.Job, label geometry.Size, brought outline.Outline, t geometry.Turn) bool {
	cut := brought
	var err error
	switch d := j.Tool(); {
	case d != nil:
		cut, err = dieCut(j, d, geometry.Turn0)
	case cut.Empty():
		cut, _, err = LabelOutline(j, label)
	}
	return err == nil && outline.Compare(cut.Turned(t), cut).Within(geometry.DieTolerance) && cut.Bounds().Size() == cut.Turned(t).Bounds().Size()
}

// staysCut says why a station's label can't stand at another turn; empty where its
// place and its cut stay what they are.
func staysCut(l *laid, s *geometry.Station, t geometry.Turn) string {
	upright := l.cuts[s.Lane-1]
	size := s.Trim.Size()
	switch {
	case l.nested != nil:
		return "nested labels lie as they are nested"
	case size.Turned(t) != size.Turned(s.Turn):
		return fmt.Sprintf("a label of %s takes another place then", size.Turned(s.Turn))
	case !outline.Compare(upright.Turned(t), upright.Turned(s.Turn)).Within(geometry.DieTolerance):
		return "what is cut is not the same when turned"
	}
	return ""
}
