package vary

import (
	"bufio"
	"cmp"
	"container/heap"
	"encoding/binary"
	"io"
	"os"
	"slices"

	"quoin/impose/register"
	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// atOnce is how many codes are held in memory: 16 bytes each. More are sorted in
// stretches of so many, on disk, and merged as they are asked for. A whole number of
// the register's sheaves goes into it. Tests make it small.
var atOnce = 1 << 17

// codeBytes is what a code takes in the file.
const codeBytes = 16

// sortedCodes are the codes of all records by their hashes, however many.
type sortedCodes struct {
	held  []register.Code    // the last stretch, or all of them
	file  *wholefile.Scratch // the stretches before; nil for none
	count int                // stretches in the file
	done  bool
}

// add takes a code.
func (s *sortedCodes) add(c register.Code) error {
	if len(s.held) == atOnce {
		if err := s.spill(); err != nil {
			return diskOf(err)
		}
	}
	s.held = append(s.held, c)
	return nil
}

func compareCodes(a, b register.Code) int {
	return cmp.Or(cmp.Compare(a.Hash, b.Hash), cmp.Compare(a.Record, b.Record))
}

// spill writes a stretch to the file.
func (s *sortedCodes) spill() (err error) {
	if s.file == nil {
		if s.file, err = wholefile.NewScratch("quoin-codes-*"); err != nil {
			return err
		}
	}
	slices.SortFunc(s.held, compareCodes)
	w := bufio.NewWriterSize(s.file, 1<<16)
	var b [codeBytes]byte
	for _, c := range s.held {
		binary.LittleEndian.PutUint64(b[:], c.Hash)
		binary.LittleEndian.PutUint64(b[8:], uint64(c.Record))
		if _, err := w.Write(b[:]); err != nil {
			return err
		}
	}
	s.count, s.held = s.count+1, s.held[:0]
	return w.Flush()
}

// finish is called when all codes are added.
func (s *sortedCodes) finish() error {
	s.done = true
	if s.file == nil {
		slices.SortFunc(s.held, compareCodes)
		return nil
	}
	err := s.spill()
	s.held = nil
	return diskOf(err)
}

// lists hands out the codes in lists of a bounded length, which are used again.
// Codes of one hash are never parted.
func (s *sortedCodes) lists(see func([]register.Code) error) error {
	if s.file == nil {
		return see(s.held)
	}
	m := &codeMerge{}
	for i := range s.count {
		at, size := int64(i*atOnce*codeBytes), int64(atOnce*codeBytes)
		r := &codeStretch{r: bufio.NewReaderSize(io.NewSectionReader(s.file, at, size), 1<<14)}
		if err := r.next(); err != nil {
			return diskOf(err)
		}
		m.list = append(m.list, r)
	}
	heap.Init(m)
	list := make([]register.Code, 0, atOnce+16)
	for len(m.list) > 0 {
		first := m.list[0]
		if n := len(list); n >= atOnce && list[n-1].Hash != first.code.Hash {
			if err := see(list); err != nil {
				return err
			}
			list = list[:0]
		}
		list = append(list, first.code)
		switch err := first.next(); {
		case err == io.EOF:
			heap.Pop(m)
		case err != nil:
			return diskOf(err)
		default:
			heap.Fix(m, 0)
		}
	}
	return see(list)
}

// close lets go of the file.
func (s *sortedCodes) close() {
	if s != nil && s.file != nil {
		s.file.Close()
		s.file = nil
	}
}

func diskOf(err error) error {
	if err == nil {
		return nil
	}
	return &say.Refusal{Kind: say.Disk, Way: "make room there, or let TMPDIR name another folder", Text: "codes can't be sorted in " + os.TempDir(), Err: err}
}

// codeStretch reads a sorted stretch.
type codeStretch struct {
	r    io.Reader
	code register.Code
}

func (s *codeStretch) next() error {
	var b [codeBytes]byte
	if _, err := io.ReadFull(s.r, b[:]); err != nil {
		return err
	}
	s.code = register.Code{Hash: binary.LittleEndian.Uint64(b[:]), Record: int64(binary.LittleEndian.Uint64(b[8:]))}
	return nil
}

// codeMerge is a heap of stretches, the one with the least code first.
type codeMerge struct{ list []*codeStretch }

func (m *codeMerge) Len() int           { return len(m.list) }
func (m *codeMerge) Less(i, j int) bool { return compareCodes(m.list[i].code, m.list[j].code) < 0 }
func (m *codeMerge) Swap(i, j int)      { m.list[i], m.list[j] = m.list[j], m.list[i] }
func (m *codeMerge) Push(any)           {}
func (m *codeMerge) Pop() any {
	last := len(m.list) - 1
	m.list = m.list[:last]
	return nil
}
