package pdfobj

import (
	"bytes"
	"errors"
	"io"
)

// scan is what a search through the whole file found: the last object of
// every number, and whatever might be a trailer.
type scan struct {
	table    table
	trailers []Dict
	streams  []int // numbers of the object streams, in the order of the file
}

// scanner walks the keywords obj, stream and trailer of a file and jumps over
// the contents of streams, which may hold other PDF files.
type scanner struct {
	doc  *Document
	scan *scan

	buf     []byte
	base    int64
	n       int
	hits    [3]int // next hit of each keyword in buf, -1 unknown, n none
	start   int64  // where the present object's value begins, 0 if none
	lastNum int    // the present object's number
}

var scanWords = [3][]byte{[]byte("obj"), []byte("stream"), []byte("trailer")}

const (
	scanWindow = 1 << 20
	// scanContext is how much of the file before a hit stays in the window.
	scanContext = 64
	// scanDict bounds the text of a stream's dictionary or a trailer.
	scanDict = 64 << 10
)

func (s *scanner) run() error {
	s.buf = make([]byte, min(scanWindow, s.doc.file.size))
	if err := s.load(0); err != nil {
		return err
	}
	for from := int64(0); ; {
		word, at, err := s.next(from)
		if err != nil || word < 0 {
			return err
		}
		from = at + int64(len(scanWords[word]))
		switch word {
		case 0:
			s.object(at)
		case 1:
			end, err := s.stream(at)
			if err != nil {
				return err
			}
			from = max(from, end)
		case 2:
			s.trailer(from)
			s.start = 0
		}
		if s.scan.table.count > s.doc.file.opt.MaxObjects {
			return s.doc.sections.tooManyObjects()
		}
	}
}

func (s *scanner) load(off int64) error {
	if err := s.doc.file.expired(); err != nil {
		return err
	}
	s.base = max(0, off)
	n, err := s.doc.file.src.ReadAt(s.buf[:min(int64(len(s.buf)), max(0, s.doc.file.size-s.base))], s.base)
	if err != nil && err != io.EOF {
		return err
	}
	s.n = n
	s.hits = [3]int{-1, -1, -1}
	return nil
}

// next returns the first keyword at or after from, -1 if there is none.
func (s *scanner) next(from int64) (word int, at int64, err error) {
	for {
		if from >= s.base+int64(s.n) {
			if from >= s.doc.file.size || s.n == 0 {
				return -1, 0, nil
			}
			if err := s.load(from - scanContext); err != nil {
				return -1, 0, err
			}
			continue
		}
		first := -1
		rel := int(from - s.base)
		for i, w := range scanWords {
			if s.hits[i] < rel {
				if j := bytes.Index(s.buf[rel:s.n], w); j >= 0 {
					s.hits[i] = rel + j
				} else {
					s.hits[i] = s.n
				}
			}
			if s.hits[i] < s.n && (first < 0 || s.hits[i] < s.hits[first]) {
				first = i
			}
		}
		if first >= 0 {
			return first, s.base + int64(s.hits[first]), nil
		}
		end := s.base + int64(s.n)
		if end >= s.doc.file.size {
			return -1, 0, nil
		}
		from = max(from, end-8) // a keyword may straddle the end
		if err := s.load(from - scanContext); err != nil {
			return -1, 0, err
		}
	}
}

// object records "N G" before the keyword obj at an offset.
func (s *scanner) object(at int64) {
	i := int(at - s.base)
	if j := i + 3; j < s.n && isRegular(s.buf[j]) && !isDigit(s.buf[j]) {
		return
	}
	number := func(spaces int) (int64, bool) {
		end := i
		for i > 0 && isSpace(s.buf[i-1]) {
			i--
		}
		if end-i < spaces {
			return 0, false
		}
		end = i
		for i > 0 && isDigit(s.buf[i-1]) && end-i < 10 {
			i--
		}
		n, _ := digits(s.buf[i:end])
		return n, i < end
	}
	gen, ok := number(0)
	if !ok || gen > maxGeneration {
		return
	}
	num, ok := number(1)
	if !ok || num == 0 || num > maxObjectNumber {
		return
	}
	s.scan.table.set(int(num), entry{pos: s.base + int64(i), gen: uint16(gen), kind: entryPlain, scanned: true})
	s.start = at + 3
	s.lastNum = int(num)
}

// text returns a piece of the file, from the window if it is there.
func (s *scanner) text(from, to int64) ([]byte, error) {
	if from >= s.base && to <= s.base+int64(s.n) {
		return s.buf[from-s.base : to-s.base], nil
	}
	b := make([]byte, to-from)
	n, err := s.doc.file.src.ReadAt(b, from)
	if err != nil && err != io.EOF {
		return nil, err
	}
	return b[:n], nil
}

func (s *scanner) dict(b []byte) (Dict, error) {
	p := parser{lexer: newBytesLexer(b), maxDepth: s.doc.file.opt.MaxDepth}
	o, err := p.object(0)
	if err != nil && errors.Is(err, ErrBudget) {
		return nil, err
	}
	dict, _ := o.(Dict)
	return dict, nil
}

// stream handles the keyword stream at an offset and returns where its data
// ends, 0 if it begins no stream.
func (s *scanner) stream(at int64) (int64, error) {
	i := int(at - s.base)
	if s.start == 0 || i >= 3 && string(s.buf[i-3:i]) == "end" {
		return 0, nil
	}
	begin := s.start
	s.start = 0
	if at-begin > scanDict {
		return 0, nil
	}
	b, err := s.text(begin, at)
	if err != nil {
		return 0, err
	}
	dict, err := s.dict(b)
	if err != nil || dict == nil {
		return 0, err
	}
	switch dict["Type"] {
	case Name("ObjStm"):
		s.scan.streams = append(s.scan.streams, s.lastNum)
	case Name("XRef"):
		s.scan.trailers = append(s.scan.trailers, dict)
	}
	start := at + 6
	head, err := s.text(start, min(start+2, s.doc.file.size))
	if err != nil {
		return 0, err
	}
	if len(head) > 0 && head[0] == '\r' {
		start++
		head = head[1:]
	}
	if len(head) > 0 && head[0] == '\n' {
		start++
	}
	if n, ok := s.length(dict["Length"]); ok && n >= 0 && n <= s.doc.file.size-start && s.doc.file.endsAt(start+n) {
		return start + n, nil
	}
	end, _, err := s.doc.file.findEnd(start)
	return end, err
}

// length returns a stream's length if it is direct or already found.
func (s *scanner) length(o Object) (int64, bool) {
	if r, ok := o.(Ref); ok {
		e := s.scan.table.get(r.Num)
		if e.kind != entryPlain {
			return 0, false
		}
		o, _, _, _ = s.doc.objects.readAt(e.pos, r.Num)
	}
	return integer(o)
}

func (s *scanner) trailer(from int64) {
	b, err := s.text(from, min(from+scanDict, s.doc.file.size))
	if err != nil {
		return
	}
	if end := firstOf(b, "startxref", "trailer"); end >= 0 {
		b = b[:end]
	}
	if dict, err := s.dict(b); err == nil && dict != nil {
		s.scan.trailers = append(s.scan.trailers, dict)
	}
}
