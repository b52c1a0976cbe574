package impose

import (
	"context"
	"errors"
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/artwork"
	"quoin/impose/job"
)

// Survey is what a job's artworks would bring to a frame.
type Survey struct {
	Job    *job.Job      // with the shape of its artworks' die line, where it said none
	Label  geometry.Size // its trim, upright
	Inks   []string      // those that take a station of the press, in the table's order
	SHA256 string        // of the first artwork's file
	// Drawn are the die lines of the artworks, and Outline is the one that is the
	// label's shape, where the job says so.
	Drawn   []geometry.DrawnCut
	Outline outline.Outline
	// Cut is the upright label's, its box at the origin; empty where nothing says
	// more than that it is a rectangle.
	Cut outline.Outline
	// DieLines are warnings: die lines that differ from their trims.
	DieLines []geometry.Reason
	Notes    []geometry.Reason // whose shape the label has
}

// SurveyArtworks opens the job's artworks and says what they would bring to a
// frame, under the job's rules for inks and, where the job says one, its label
// size. The errors are those of Open.
func SurveyArtworks(ctx context.Context, j *job.Job) (*Survey, error) {
	if len(j.Artworks) == 0 {
		return nil, errors.New("there is no artwork to look at")
	}
	files := newArtworkFiles(ctx, j)
	defer files.close()
	pages, said, err := readPages(j, files)
	if err != nil {
		return nil, err
	}
	j, shaped := shapeByDieLine(j, pages)
	table, _, err := tableInks(j, pages)
	if err != nil {
		return nil, err
	}
	in := &Sources{Job: j, Pages: pages, Inks: table, files: files}
	s := &Survey{Job: j, Label: pages[0].Size(), Drawn: drawnCuts(in)}
	if j.Label != (geometry.Size{}) {
		if _, err := checkSizes(in, j.Label); err != nil {
			return nil, err
		}
		s.Label = j.Label
	}
	for _, e := range table.Inks {
		if e.TakesStation() {
			s.Inks = append(s.Inks, e.Name)
		}
	}
	for _, n := range shaped.notes {
		s.Notes = append(s.Notes, geometry.Reason{Code: n.Code, Text: n.Text})
	}
	if j.Outline == job.ArtworkOutline {
		if s.Outline, _, err = drawnOutline(in, s.Label); err != nil {
			return nil, err
		}
	}
	var told []int
	var held remarks
	if j.Tool() == nil && !job.LabelsDiffer(j) {
		if told, held, err = s.hold(in); err != nil {
			return nil, err
		}
	}
	for _, w := range withoutFindings(said.warnings, in, told) {
		if w.Code == artwork.DieLineDiffers {
			s.DieLines = append(s.DieLines, geometry.Reason{Code: w.Code, Text: w.Text})
		}
	}
	for _, w := range held.warnings {
		s.DieLines = append(s.DieLines, geometry.Reason{Code: w.Code, Text: w.Text})
	}
	if !job.LabelsDiffer(j) && !(j.Shape.Rectangular() && j.Radius == nil) {
		if s.Cut, _, err = labelCut(in, s.Label); err != nil {
			return nil, err
		}
	}
	s.SHA256, err = files.sums[files.order[0]]()
	return s, err
}

// hold holds the shape of the job against the artworks' die lines, as a run does,
// and returns the artworks whose line differs. One file in several lanes is told of
// once.
func (s *Survey) hold(in *Sources) (told []int, said remarks, err error) {
	for i := range in.Pages {
		cut, _, err := labelCut(&Sources{Job: cornersOfDie(in.Job, in.Pages[i]), Pages: in.Pages}, s.Label)
		if err != nil {
			return nil, said, err
		}
		differs, err := holdDieLine(in, i, cut, &said)
		if err != nil {
			return nil, said, err
		}
		if differs {
			told = append(told, i)
		}
	}
	if in.Job.Dies != nil { // what is cut is the dies', each of which is compared
		return nil, remarks{}, nil
	}
	said.warnings = slices.Compact(said.warnings)
	return told, said, nil
}

// cornersOfDie returns the job with the corners that an artwork draws, where
// they are left to the dies, which are compared themselves.
func cornersOfDie(j *job.Job, p *artwork.Page) *job.Job {
	line, err := p.DieLine()
	if err != nil || j.Radius != nil || !j.Shape.Rectangular() || j.Dies == nil {
		return j
	}
	with := *j
	if r, ok := line.Outline.CornerRadius(geometry.DieTolerance); ok {
		with.Radius = &r
	}
	return &with
}

// Shape puts the artworks' die lines into a wish.
func (s *Survey) Shape(w *geometry.Wish) {
	w.Drawn = s.Drawn
	if !s.Outline.Empty() {
		shapeWish(w, s.Outline)
	}
}
