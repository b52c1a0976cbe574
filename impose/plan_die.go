package impose

import (
	"fmt"

	"quoin/geometry"
	"quoin/impose/job"
)

// layOnDie takes grid, gaps and repeat from the job's die, once everything is
// compared: size, radius, station, material, stripping and the frame's length.
func layOnDie(in *Sources, d *geometry.Die, r geometry.Request) (l laid, err error) {
	wish, said, err := dieWish(in, r.Label)
	if err != nil {
		return l, err
	}
	said.follow(borrowShape(in.Job, &wish, d))
	wish.Webs = []geometry.Web{r.Web}
	fits, err := geometry.RankDies([]geometry.Die{*d}, wish)
	if err != nil {
		return l, err
	}
	f := &fits[0]
	reasons := f.Reasons()
	if f.Fits {
		reasons = otherGrid(in.Job, f, r.Lanes)
	}
	if len(reasons) > 0 {
		for i := range reasons {
			reasons[i].Text = "die " + d.Number + ": " + reasons[i].Text
		}
		return l, &geometry.NotFitError{Reasons: reasons}
	}
	for _, w := range f.Warnings {
		switch w.Code {
		case geometry.CodeBleedClipped: // said of every layout
		case geometry.CodeNarrowerWeb:
			said.note(w.Code, "%s", w.Text)
		default:
			said.warn(w.Code, "die %s: %s", d.Number, w.Text)
		}
	}
	return laid{layout: f.Layout(), differs: f.Differs, said: said}, nil
}

// otherGrid says where the job wants other lanes or rows than the die has; lanes
// are those that the artworks take.
func otherGrid(j *job.Job, f *geometry.Fit, lanes int) []geometry.Reason {
	var reasons []geometry.Reason
	differ := func(what string, wanted int, has string) {
		reasons = append(reasons, geometry.Reason{Code: geometry.CodeCount,
			Text: fmt.Sprintf("the job asks for %d %s, the die has %s", wanted, what, has), Nearest: "leave " + what + " out, or the die"})
	}
	if lanes > f.Across || j.Lanes > 0 && j.Lanes != f.Across {
		has := fmt.Sprint(f.Across)
		if f.Die.Lanes > f.Across {
			has = fmt.Sprintf("%d, of which %d find room", f.Die.Lanes, f.Across)
		}
		differ("lanes", lanes, has)
	}
	if j.Rows > 0 && j.Rows != f.Around {
		differ("rows", j.Rows, fmt.Sprint(f.Around))
	}
	return reasons
}

// dieWish returns what the job wants of a die for a label of the size, with what the
// artworks' die lines say.
func dieWish(in *Sources, label geometry.Size) (w geometry.Wish, said remarks, err error) {
	if w, err = in.Job.Wish(label, in.Inks.Stations()); err != nil {
		return w, said, err
	}
	w.Drawn = drawnCuts(in)
	if in.Job.Shape.Rectangular() && in.Job.Radius == nil {
		return w, said, nil // the die says the corners
	}
	cut, said, err := labelCut(in, label)
	if err != nil {
		return w, said, err
	}
	if in.Job.Shape == geometry.ShapeOutline {
		shapeWish(&w, cut)
	}
	w.Match = MatchDies(in.Job, cut)
	return w, said, nil
}
