package impose

import (
	"context"
	"slices"

	"quoin/impose/job"
)

// Open works a job out, stage by stage. Whoever opens an imposition closes it.
//
// An error about an artwork is an *artwork.Error; one about the layout a
// *geometry.NotFitError or a refusal of the kind NotFit; one about the labels'
// shape or the white underprint a refusal of the kind BadFile.
func Open(ctx context.Context, j *job.Job) (*Imposition, error) { return openWith(ctx, j, nil) }

// Rework plans and composes once more what was read of a job, with its lanes in
// another order of the artworks from the left, each of which keeps as many as it has.
// What is returned takes the place of im and is closed for both; it has a job of its
// own. Errors are those of Open about the layout.
func Rework(im *Imposition, order []int) (*Imposition, error) {
	j := *im.Job
	j.Artworks = slices.Clone(j.Artworks)
	next := 1
	for _, art := range order {
		for range LanesOf(im.Planned, art) {
			j.Artworks[art].LaneList = append(slices.Clip(j.Artworks[art].LaneList), next)
			next++
		}
	}
	planned, err := plan(readFor(im.Sources, &j))
	if err != nil {
		return nil, err
	}
	return compose(planned)
}

// openWith opens a job with the artworks of a shelf, which may be nil.
func openWith(ctx context.Context, j *job.Job, s *Shelf) (*Imposition, error) {
	sources, err := read(ctx, j, s)
	if err != nil {
		return nil, err
	}
	planned, err := plan(sources)
	if err != nil {
		sources.Close()
		return nil, err
	}
	im, err := compose(planned)
	if err != nil {
		sources.Close()
		return nil, err
	}
	return im, nil
}

// Open is Open with the artworks of the shelf.
func (s *Shelf) Open(ctx context.Context, j *job.Job) (*Imposition, error) {
	s.round++
	im, err := openWith(ctx, j, s)
	s.tidy()
	return im, err
}
