package impose

import (
	"context"
	"slices"
	"time"

	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/job"
	"quoin/impose/press"
	"quoin/impose/vary"
)

// Sources is what was read of a job: the first stage. It holds the artwork files
// open until Close.
type Sources struct {
	Job   *job.Job
	Pages []*artwork.Page // one for each artwork of the job
	// Named are pages that the records of variable data name, as NamedBy says.
	Named   []*artwork.Page
	NamedBy []vary.Named
	Inks    *ink.Table // all that the frame may be drawn in

	files   *artworkFiles
	names   inkNames
	intent  press.Intent
	cutting string // ink that the contour of the cut is drawn in; empty where none is drawn
	said    remarks
}

// read reads what the job names. An error about an artwork is an *artwork.Error,
// all others are refusals.
func read(ctx context.Context, j *job.Job, s *Shelf) (_ *Sources, err error) {
	files := newArtworkFiles(ctx, j)
	files.shelf = s
	defer func() {
		if err != nil {
			files.close()
		}
	}()
	said, err := refuseMixUps(j.Artworks)
	if err != nil {
		return nil, err
	}
	pages, found, err := readPages(j, files)
	if err != nil {
		return nil, err
	}
	said.follow(found)
	j, found = shapeByDieLine(j, pages)
	said.follow(found)
	recorded, err := readRecorded(ctx, j, files)
	if err != nil {
		return nil, err
	}
	said.follow(recorded.said())
	everything := slices.Concat(pages, recorded.pages)
	every := *j
	for _, name := range recorded.names {
		every.Artworks = append(slices.Clip(every.Artworks), pictureOf(name.Name))
	}
	if j.Data != nil && j.Data.ChangeOver != nil {
		every.Fields = slices.Concat(every.Fields, j.Data.ChangeOver.Fields)
	}
	for _, name := range recorded.inks {
		every.Fields = append(slices.Clip(every.Fields), job.Field{Ink: name})
	}
	table, found, err := tableInks(&every, everything)
	if err != nil {
		return nil, err
	}
	said.follow(found)
	if found, err = addWhites(table, j.Inks.Underprint); err != nil {
		return nil, err
	}
	said.follow(found)
	intent, found, err := chooseIntent(j, pages)
	if err != nil {
		return nil, err
	}
	said.follow(found)
	cutting := ""
	if j.Cutting {
		cutting = addCuttingInk(table, pages)
	}
	names := readNames(everything, table, inkRules(j.Inks))
	names.tellSpellings(&said)
	return &Sources{
		Job: j, Pages: pages, Named: recorded.pages, NamedBy: recorded.names, Inks: table, files: files,
		names: names, intent: intent, cutting: cutting, said: said,
	}, nil
}

// readFor returns what was read, for a job that differs in its lanes only.
func readFor(in *Sources, j *job.Job) *Sources {
	return &Sources{
		Job: j, Pages: in.Pages, Named: in.Named, NamedBy: in.NamedBy, Inks: in.Inks, files: in.files,
		names: in.names, intent: in.intent, cutting: in.cutting, said: in.said,
	}
}

// Close closes the artwork files.
func (in *Sources) Close() error { return in.files.close() }

// Artwork returns the page of a number, as placed on frames: the job's artworks
// first, then what the records name.
func (in *Sources) Artwork(number int) *artwork.Page { return allPages(in)[number] }

// Inputs returns the paths of all files that were read.
func (in *Sources) Inputs() []string { return in.Job.Files() }

// Artworks returns the paths of all artworks that were read, those that records
// name among them.
func (in *Sources) Artworks() []string { return slices.Clone(in.files.order) }

// Sum returns the SHA-256 of an artwork's file, in hexadecimal.
func (in *Sources) Sum(p *artwork.Page) (string, error) { return in.files.sums[p.File.Path]() }

// dateOf is the job's, or else that of the newest artwork: never the day's own,
// so that the same input gives the same bytes.
func dateOf(in *Sources) time.Time {
	newest := in.Job.Date
	for _, p := range allPages(in) {
		if d := p.File.ModDate(); in.Job.Date.IsZero() && d.After(newest) {
			newest = d
		}
	}
	return newest
}

// number returns the number of an artwork, the first being 1; 0 for none of the
// job's.
func (in *Sources) number(p *artwork.Page) int { return slices.Index(in.Pages, p) + 1 }
