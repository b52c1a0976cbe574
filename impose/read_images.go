package impose

import (
	"context"
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

	// On a shelf they stay from one imposition to the next: those of the last one
	// are taken as long as each that is added has its bytes and its room.
	how  string // they are read
	list []pictureKey
	from *pictures // of the shelf; nil where there are none, or they have turned out to differ
	kept bool      // by the shelf, which closes them

	round int // in which they were last used
}

// pictureKey is a picture by its content.
type pictureKey struct {
	sum  string
	room vary.Room
	lies string // where it was read
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
	path := s.job.Path(name)
	lies := s.job.Lies(path)
	if s.pictures == nil {
		s.pictures = &pictures{how: howRead(s.pictureOptions())}
		if s.shelf != nil && s.shelf.pictures != nil && s.shelf.pictures.how == s.pictures.how {
			s.pictures.from = s.shelf.pictures
		}
	}
	if err := s.pictures.addPicture(pictureKey{lies: lies, room: room}, s.shelf != nil); err != nil {
		return err
	}
	if _, known := s.sums[path]; known {
		return nil
	}
	s.sums[path] = sync.OnceValues(func() (string, error) { return wholefile.SHA256(lies) })
	go s.sums[path]()
	s.order, s.rooted[path] = append(s.order, path), filepath.IsAbs(name)
	return nil
}

// addPicture adds a picture, unless the shelf has it at this very place.
func (p *pictures) addPicture(k pictureKey, shelved bool) error {
	if shelved {
		k.sum, _ = wholefile.SHA256(k.lies) // what can't be read is told when it is drawn
	}
	if n := len(p.list); p.from != nil && k.sum != "" && n < len(p.from.list) && p.from.list[n].sum == k.sum && p.from.list[n].room == k.room {
		p.list = append(p.list, k)
		return nil
	}
	if err := p.draw(); err != nil {
		return err
	}
	p.list = append(p.list, k)
	return p.page(k)
}

func (p *pictures) page(k pictureKey) error {
	return p.book.Add(k.lies, photo.Room{Size: geometry.Size{Across: k.room.Width, Around: k.room.Height}, Fill: k.room.Fill})
}

// draw begins the PDF, with what was taken for the shelf's.
func (p *pictures) draw() (err error) {
	p.from = nil
	if p.book != nil {
		return nil
	}
	if p.handle, err = os.CreateTemp("", "quoin-pictures-*.pdf"); err != nil {
		return err
	}
	if p.book, err = photo.NewBook(p.handle); err != nil {
		return err
	}
	for _, k := range p.list {
		if err := p.page(k); err != nil {
			return err
		}
	}
	return nil
}

// pictureOptions is how pictures are read: they are not cut.
func (s *artworkFiles) pictureOptions() artwork.Options {
	opt := s.options
	opt.Bleed = 0
	if s.shelf != nil {
		opt.PDF.Context = context.Background() // they outlive the asking
	}
	return opt
}

// drawn returns the pages of all pictures, in the order in which they were added.
func (s *artworkFiles) drawn() (pages []*artwork.Page, err error) {
	p := s.pictures
	if p == nil {
		return nil, nil
	}
	if p.from != nil && len(p.list) == len(p.from.list) {
		p.from.round = s.shelf.round
		s.pictures, p = p.from, p.from
	} else if err := s.finish(p); err != nil {
		return nil, err
	}
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

// finish opens the PDF of the pictures, and puts it on the shelf where there is one.
func (s *artworkFiles) finish(p *pictures) error {
	if err := p.draw(); err != nil {
		return err
	}
	if err := errors.Join(p.book.Close(), p.handle.Close()); err != nil {
		return err
	}
	opt := s.pictureOptions()
	opt.Lies = p.handle.Name()
	var err error
	if p.file, err = artwork.Open("the pictures of the records", opt); err != nil {
		return err
	}
	os.Remove(p.handle.Name()) // it stays as long as it is open, but on Windows
	if s.shelf != nil {
		s.shelf.pictures.drop()
		p.kept, p.round, s.shelf.pictures = true, s.shelf.round, p
	}
	return nil
}

// close ends the use of the pictures by one imposition.
func (p *pictures) close() error {
	if p == nil || p.kept {
		return nil
	}
	return p.drop()
}

// drop closes the pictures.
func (p *pictures) drop() error {
	if p == nil || p.handle == nil {
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
