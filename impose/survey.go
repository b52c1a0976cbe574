package impose

import (
	"context"
	"errors"
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/job"
)

// Survey is what a job's artworks would bring to a frame.
type Survey struct {
	Label  geometry.Size // its trim, upright
	Inks   []string      // those that take a station of the press, in the table's order
	SHA256 string        // of the first artwork's file
	// Drawn are the die lines of the artworks, and Outline is the one that is the
	// label's shape, where the job says so.
	Drawn   []geometry.DrawnCut
	Outline outline.Outline
	// DieLines are warnings: die lines that differ from their trims.
	DieLines []geometry.Reason
}

// Look opens the job's artworks and says what they would bring to a frame,
// under the job's rules for inks and, where the job says one, its label size.
// The errors are those of Open.
func Look(ctx context.Context, j *job.Job) (*Survey, error) {
	if len(j.Artworks) == 0 {
		return nil, errors.New("there is no artwork to look at")
	}
	im := &Imposition{Job: j, files: newSources(ctx, j)}
	defer im.Close()
	if err := im.readArtworks(); err != nil {
		return nil, err
	}
	if err := im.tableInks(); err != nil {
		return nil, err
	}
	s := &Survey{Label: im.Pages[0].Size()}
	if j.Label != (geometry.Size{}) {
		if err := im.checkSizes(j.Label); err != nil {
			return nil, err
		}
		s.Label = j.Label
	}
	for _, k := range im.PrintingInks() {
		s.Inks = append(s.Inks, k.Name)
	}
	s.Drawn = im.drawnCuts()
	for _, w := range im.warnings {
		if w.Code == artwork.DieLineDiffers {
			s.DieLines = append(s.DieLines, geometry.Reason{Code: w.Code, Text: w.Text})
		}
	}
	if j.Outline == job.ArtworkOutline {
		var err error
		if s.Outline, err = im.drawnOutline(s.Label); err != nil {
			return nil, err
		}
	}
	files, err := im.fileParts()
	if err != nil {
		return nil, err
	}
	s.SHA256 = files[0].SHA256
	return s, nil
}

// Shape puts the artworks' die lines into a wish.
func (s *Survey) Shape(w *geometry.Wish) {
	w.Drawn = s.Drawn
	if !s.Outline.Empty() {
		shapeWish(w, s.Outline)
	}
}

// PrintingInks gives the inks of a list that take a station of the press,
// under a job's rules, process inks first. An ink that stands in the list more
// than once hits as often.
func PrintingInks(r job.InkRules, names []string) []string {
	rules := inkRules(r)
	var seen []ink.Seen
	hits := map[string]int{}
	for _, n := range names {
		seen = append(seen, ink.Seen{Name: n})
		hits[rules.Name(n)]++
	}
	var out []string
	for _, e := range ink.NewTable(seen, rules).Inks {
		if e.Prints() {
			out = append(out, slices.Repeat([]string{e.Name}, hits[e.Name])...)
		}
	}
	return out
}
