package impose

import (
	"context"

	"quoin/geometry"
	"quoin/impose/job"
)

// Looked is what a layout needs to know of a job's artworks.
type Looked struct {
	Label geometry.Size // trim, upright: the job's, or else the first artwork's
	Inks  int           // that print
}

// Look reads a job's artworks and lays nothing out. An error about an artwork
// is an *artwork.Error.
func Look(ctx context.Context, j *job.Job) (Looked, error) {
	im := &Imposition{Job: j, files: newSources(ctx, j)}
	defer im.Close()
	if err := im.readArtworks(); err != nil {
		return Looked{}, err
	}
	if err := im.tableInks(); err != nil {
		return Looked{}, err
	}
	looked := Looked{Label: j.Label, Inks: len(im.printing())}
	if looked.Label == (geometry.Size{}) && len(im.Pages) > 0 {
		looked.Label = im.Pages[0].Size()
	}
	return looked, nil
}
