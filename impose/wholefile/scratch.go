package wholefile

import (
	"os"
	"runtime"
)

// Scratch is a file in the folder for temporary files that holds what memory should
// not, and nobody else sees. Close removes it.
type Scratch struct{ *os.File }

// NewScratch makes a scratch file, whose pattern of a name is that of os.CreateTemp.
// It is gone from its folder at once where the system lets open files be removed, so
// that nothing stays of it whatever becomes of the program; elsewhere it is removed
// when it is closed, or forgotten. Errors are those of the file system.
func NewScratch(pattern string) (*Scratch, error) {
	f, err := os.CreateTemp("", pattern)
	if err != nil {
		return nil, err
	}
	s := &Scratch{f}
	if os.Remove(f.Name()) != nil {
		runtime.AddCleanup(s, func(name string) { os.Remove(name) }, f.Name())
	}
	return s, nil
}

// Close removes the file.
func (s *Scratch) Close() error {
	err := s.File.Close()
	os.Remove(s.Name()) // unless that was done when it was made
	return err
}
