package impose

import (
	"context"
	"errors"
	"fmt"
	"os"
	"sync"
	"time"

	"quoin/impose/artwork"
	"quoin/impose/wholefile"
)

// Shelf keeps artworks open from one imposition to the next, so that a job that
// is changed and opened again is only planned again. A file that has changed on
// disk, or that a job asks to be read otherwise, is opened anew. Like the
// artworks on it a shelf is not safe for concurrent use: one imposition from it
// is used at a time. Close it when all of them are closed.
type Shelf struct {
	files map[string]*shelved // by path and how it was read
	round int

	pictures *pictures // that the records of the last job named; nil for none
}

// shelved is an open artwork.
type shelved struct {
	file  *artwork.File
	size  int64
	time  time.Time
	sum   func() (string, error)
	round int // in which it was last used
}

// shelfRounds is after how many openings an artwork that nothing used is put
// away: undo and redo find theirs.
const shelfRounds = 8

// tidy puts away what has not been used for long.
func (s *Shelf) tidy() {
	for key, f := range s.files {
		if s.round-f.round > shelfRounds {
			f.file.Close()
			delete(s.files, key)
		}
	}
	if s.pictures != nil && s.round-s.pictures.round > shelfRounds {
		s.pictures.drop()
		s.pictures = nil
	}
}

// Close closes all artworks.
func (s *Shelf) Close() error {
	err := s.pictures.drop()
	for _, f := range s.files {
		err = errors.Join(err, f.file.Close())
	}
	s.files, s.pictures = nil, nil
	return err
}

// open returns an artwork that is read with such options.
func (s *Shelf) open(path string, opt artwork.Options) (*shelved, error) {
	info, err := os.Stat(path)
	if err != nil {
		_, err = artwork.Open(path, opt) // in its words
		return nil, err
	}
	opt.PDF.Context = context.Background() // it outlives the asking
	key := path + "\x00" + howRead(opt)
	f, ok := s.files[key]
	if ok && (f.size != info.Size() || !f.time.Equal(info.ModTime())) {
		f.file.Close()
		ok = false
	}
	if !ok {
		file, err := artwork.Open(path, opt)
		if err != nil {
			delete(s.files, key)
			return nil, err
		}
		f = &shelved{file: file, size: info.Size(), time: info.ModTime(), sum: s.sumOf(path, info)}
		if s.files == nil {
			s.files = map[string]*shelved{}
		}
		s.files[key] = f
	}
	f.round = s.round
	return f, nil
}

// howRead stands for all that changes what is read of an artwork.
func howRead(opt artwork.Options) string {
	return fmt.Sprintf("%+v %d %d %t %q %t", opt.Rules, opt.Bleed, opt.Operators, opt.Long, opt.PDF.Password, opt.PDF.Permitted)
}

// sumOf works a file's sum out beside everything else, unless the file was on
// the shelf in another reading.
func (s *Shelf) sumOf(path string, info os.FileInfo) func() (string, error) {
	for _, f := range s.files {
		if f.file.Path == path && f.size == info.Size() && f.time.Equal(info.ModTime()) {
			return f.sum
		}
	}
	sum := sync.OnceValues(func() (string, error) { return wholefile.SHA256(path) })
	go sum()
	return sum
}
