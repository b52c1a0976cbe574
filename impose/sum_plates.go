package impose

import (
	"context"
	"fmt"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/artwork"
)

// PlateLooker looks at the plates of an artwork's page: for inks that add up to
// more than a limit in per cent (0: none), and for text, bars and lines nearer to
// the cut than a distance (0: the usual one, below 0: none). cut is where the label
// is cut, with the trim's leading left corner at the origin; empty: as the artwork
// itself says. impose/plate has one.
type PlateLooker func(ctx context.Context, p *artwork.Page, limit float64, fromCut geometry.Length, cut outline.Outline) ([]artwork.Finding, error)

// WantsPlates reports whether job or press say what to look for on the plates of
// what was composed.
func WantsPlates(im *Imposition) bool {
	return im.Job.LeastFromCut() != 0 || im.Job.InkLimit() > 0
}

// LookAtPlates returns what is found on the plates of each artwork. What several
// artworks of the job share is told once.
func LookAtPlates(ctx context.Context, im *Imposition, look PlateLooker) (list [][]artwork.Finding, err error) {
	told := map[string]bool{}
	for i, page := range im.Pages {
		all, err := look(ctx, page, im.Job.InkLimit(), im.Job.LeastFromCut(), CutOnPage(im.Planned, i))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", page.Name(), err)
		}
		var found []artwork.Finding
		for _, f := range all {
			if key := page.Name() + f.Code + f.Text; !told[key] {
				told[key] = true
				found = append(found, f)
			}
		}
		list = append(list, found)
	}
	return list, nil
}
