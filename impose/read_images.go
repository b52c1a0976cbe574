package impose

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/photo"
	"quoin/impose/vary"
	"quoin/impose/wholefile"
)

// pictures are the PNG and JPEG files that the records of a run name, as pages of
// one PDF in the folder for temporary files.
type pictures struct {
	handle *os.File
	book   *photo.Book
	file   *artwork.File // once all are there
}

// roomOf returns the room of a picture.
func roomOf(f job.Field) vary.Room {
	return vary.Room{Width: f.Width, Height: f.Height, Fill: f.Fit == "fill"}
}

// isPicture reports whether a name is that of a PNG or a JPEG file.
func isPicture(name string) bool {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".png", ".jpg", ".jpeg":
		return true
	}
	return false
}

// picture adds a picture for its room.
func (s *artworkFiles) picture(name string, room vary.Room) error {
	if s.pictures == nil {
		handle, err := os.CreateTemp("", "quoin-pictures-*.pdf")
		if err != nil {
			return err
		}
		s.pictures = &pictures{handle: handle}
		if s.pictures.book, err = photo.NewBook(handle); err != nil {
			return err
		}
	}
	path := s.job.Path(name)
	lies := s.job.Lies(path)
	err := s.pictures.book.Add(lies, photo.Room{Size: geometry.Size{Across: room.Width, Around: room.Height}, Fill: room.Fill})
	if _, known := s.sums[path]; err != nil || known {
		return err
	}
	s.sums[path] = sync.OnceValues(func() (string, error) { return wholefile.SHA256(lies) })
	go s.sums[path]()
	s.order, s.rooted[path] = append(s.order, path), filepath.IsAbs(name)
	return nil
}

// drawn gives the pages of all pictures, in the order in which they were added.
func (s *artworkFiles) drawn() (pages []*artwork.Page, err error) {
	p := s.pictures
	if p == nil {
		return nil, nil
	}
	if err := errors.Join(p.book.Close(), p.handle.Close()); err != nil {
		return nil, err
	}
	opt := s.options
	opt.Bleed, opt.Lies = 0, p.handle.Name() // pictures are not cut
	if p.file, err = artwork.Open("the pictures of the records", opt); err != nil {
		return nil, err
	}
	os.Remove(p.handle.Name()) // it stays as long as it is open, but on Windows
	for n := range p.file.Pages() {
		page, err := p.file.Page(n + 1)
		if err == nil {
			err = page.Unfit()
		}
		if err != nil {
			return nil, err
		}
		pages = append(pages, page)
	}
	return pages, nil
}

func (p *pictures) close() error {
	if p == nil {
		return nil
	}
	p.handle.Close()
	var err error
	if p.file != nil {
		err = p.file.Close()
	}
	os.Remove(p.handle.Name())
	return err
}
