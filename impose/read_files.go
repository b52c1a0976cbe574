package impose

import (
	"context"
	"errors"
	"path/filepath"
	"sync"

	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/pdfobj"
	"quoin/impose/wholefile"
)

// artworkFiles are the artwork files of a job, each opened once.
type artworkFiles struct {
	options artwork.Options
	job     *job.Job
	files   map[string]*artwork.File
	sums    map[string]func() (string, error) // SHA-256 of each file, worked out beside everything else
	rooted  map[string]bool                   // paths that the job names from the root
	order   []string                          // paths in the order of the job
}

func newArtworkFiles(ctx context.Context, j *job.Job) *artworkFiles {
	return &artworkFiles{
		options: artwork.Options{
			PDF: pdfobj.Options{Context: ctx, Permitted: j.PermittedBy != ""}, Rules: inkRules(j.Inks), Bleed: j.Bleed, Long: j.LongContent,
		},
		job: j, rooted: make(map[string]bool), files: make(map[string]*artwork.File), sums: make(map[string]func() (string, error)),
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
		if f, err = artwork.Open(path, opt); err != nil {
			return nil, err
		}
		s.files[path] = f
		s.order = append(s.order, path)
		s.rooted[path] = filepath.IsAbs(a.File)
		sum := sync.OnceValues(func() (string, error) { return wholefile.SHA256(opt.Lies) })
		s.sums[path] = sum
		go sum()
	}
	p, err := f.Page(max(a.Page, 1))
	if err != nil {
		return nil, err
	}
	return p, p.Unfit()
}

func (s *artworkFiles) close() error {
	var err error
	for _, path := range s.order {
		err = errors.Join(err, s.files[path].Close())
	}
	return err
}
