package impose

import (
	"context"
	"errors"
	"path/filepath"
	"slices"

	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/pdfobj"
)

// artworkFiles are the artwork files of a job, each opened once.
type artworkFiles struct {
	options artwork.Options
	job     *job.Job
	files   map[string]*artwork.File
	sums    map[string]func() (string, error) // SHA-256 of each file, worked out beside everything else
	rooted  map[string]bool                   // paths that the job names from the root
	order   []string                          // paths in the order of the job
	shelf   *Shelf                            // that opens and closes them; nil: each is the job's own

	pictures *pictures // that records name; nil for none
}

func newArtworkFiles(ctx context.Context, j *job.Job) *artworkFiles {
	options := artwork.Options{
		PDF: pdfobj.Limits{Context: ctx}, Rules: inkRules(j.Inks), Bleed: j.Bleed, Long: j.LongContent, Copied: true,
	}
	if j.Press != nil {
		options.FineText, options.FineLine = j.Press.FineText.Points(), j.Press.FineLine.Points()
	}
	return &artworkFiles{
		options: options,
		job:     j, rooted: make(map[string]bool), files: make(map[string]*artwork.File), sums: make(map[string]func() (string, error)),
	}
}

// page opens a page of an artwork as the job names it.
func (s *artworkFiles) page(a job.Artwork) (*artwork.Page, error) {
	path := s.job.Path(a.File)
	f, ok := s.files[path]
	if !ok {
		var err error
		opt := s.options
		opt.PDF.Password, opt.Lies = s.job.PasswordOf(a.File), s.job.Lies(path)
		opt.PDF.Permitted = s.permitted(path)
		if f, s.sums[path], err = s.open(path, opt); err != nil {
			return nil, err
		}
		s.files[path] = f
		s.order = append(s.order, path)
		s.rooted[path] = filepath.IsAbs(a.File)
	}
	p, err := f.Page(max(a.Page, 1))
	if err != nil {
		return nil, err
	}
	return p, p.Unfit()
}

// permitted reports whether somebody gave leave to place a file.
func (s *artworkFiles) permitted(path string) bool {
	return slices.ContainsFunc(s.job.Artworks, func(a job.Artwork) bool { return s.job.Path(a.File) == path && job.LeaveFor(s.job, a) != "" })
}

// open opens an artwork, or has the shelf do so.
func (s *artworkFiles) open(path string, opt artwork.Options) (*artwork.File, func() (string, error), error) {
	if s.shelf != nil {
		kept, err := s.shelf.open(path, opt)
		if err != nil {
			return nil, nil, err
		}
		return kept.file, kept.sum, nil
	}
	f, err := artwork.Open(path, opt)
	if err != nil {
		return nil, nil, err
	}
	return f, f.Sum(), nil
}

func (s *artworkFiles) close() error {
	err := s.pictures.close()
	if s.shelf != nil {
		return err
	}
	for _, path := range s.order {
		if f := s.files[path]; f != nil {
			err = errors.Join(err, f.Close())
		}
	}
	return err
}
