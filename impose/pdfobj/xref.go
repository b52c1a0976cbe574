package pdfobj

import (
	"errors"
	"fmt"
)

var errXref = errors.New("the cross-reference table is damaged")

// sections reads the cross-reference table of a file, section by section (7.5.4).
type sections struct {
	doc  *Document
	file *source
}

// read reads the cross-reference sections, newest first, or rebuilds
// the table, and finds the catalog.
func (s *sections) read() error {
	err := s.all()
	if err == nil {
		err = s.doc.security.open()
	}
	if err == nil && !s.doc.mender.isCatalog(s.doc.trailer["Root"]) {
		err = fmt.Errorf("%w: it leads to no catalog", errXref)
	}
	if s.doc.err != nil {
		return s.doc.err
	}
	// What was resolved while the table was half read may have been missing.
	s.doc.objects.cache = cache{}
	if err == nil || errors.Is(err, ErrPassword) || errors.Is(err, ErrNotPermitted) ||
		errors.Is(err, ErrEncryption) || s.file.fatal(err) {
		return err
	}
	s.doc.damage.note("%v; the file was scanned for its objects", err)
	return s.doc.mender.rebuild()
}

func (s *sections) all() error {
	start, err := s.file.startxref()
	if err != nil {
		return err
	}
	seen := map[int64]bool{}
	for off, more := start, true; more; {
		if seen[off] {
			s.doc.damage.note("the cross-reference sections form a loop")
			break
		}
		seen[off] = true
		var trailer Dict
		if trailer, err = s.section(off, seen); err != nil {
			if s.doc.trailer == nil || s.file.fatal(err) {
				return err
			}
			// An older section is damaged: fill up from a scan.
			s.doc.damage.note("an older cross-reference section is damaged: %v", err)
			return s.doc.mender.fill()
		}
		if s.doc.trailer == nil {
			s.doc.trailer = Dict{}
		}
		for _, key := range []Name{"Root", "Encrypt", "ID", "Info", "Size"} {
			if _, ok := s.doc.trailer[key]; !ok && trailer[key] != nil {
				s.doc.trailer[key] = trailer[key]
			}
		}
		off, more = integer(trailer["Prev"])
	}
	return nil
}

// integer reads a direct number: sections cannot yet be resolved through.
func integer(o Object) (int64, bool) {
	switch v := o.(type) {
	case Integer:
		return int64(v), true
	case Real:
		return int64(v), true
	}
	return 0, false
}

// section reads one section at an offset that counts from the file's start
// or from its header, and returns its trailer.
func (s *sections) section(off int64, seen map[int64]bool) (Dict, error) {
	trailer, err := s.sectionAt(off, seen)
	if err != nil && s.file.header > 0 && !s.file.fatal(err) {
		if t, err2 := s.sectionAt(off+s.file.header, seen); err2 == nil {
			return t, nil
		}
	}
	return trailer, err
}

func (s *sections) sectionAt(off int64, seen map[int64]bool) (Dict, error) {
	if err := s.file.expired(); err != nil {
		return nil, err
	}
	if off < 0 || off >= s.file.size {
		return nil, fmt.Errorf("%w: offset %d is outside of the file", errXref, off)
	}
	p := &s.file.parser
	p.start()
	p.seek(off)
	t, err := p.token()
	if err != nil {
		return nil, err
	}
	switch {
	case t.isKeyword("xref"):
		return s.classic(seen)
	case t.kind == tokenInteger:
		return s.streamSection(off, int(min(max(t.num, 0), maxObjectNumber)))
	}
	return nil, fmt.Errorf("%w: no section at offset %d", errXref, off)
}

// classic reads a table and its trailer (7.5.4), after its keyword.
func (s *sections) classic(seen map[int64]bool) (Dict, error) {
	p := &s.file.parser
	var free []int
	for {
		t, err := p.token()
		if err != nil {
			return nil, err
		}
		if t.isKeyword("trailer") {
			break
		}
		count, err := p.token()
		if err != nil {
			return nil, err
		}
		if t.kind != tokenInteger || count.kind != tokenInteger || t.num < 0 {
			return nil, fmt.Errorf("%w: it has no trailer", errXref)
		}
		end := t.num + count.num
		for num := t.num; num < end; num++ {
			off, gen, used, err := s.file.tableLine()
			if err != nil {
				return nil, err
			}
			if num == 1 && t.num == 1 && !used && off == 0 && gen == maxGeneration {
				// The head of the free list is object 0 (7.5.4).
				s.doc.damage.note("a cross-reference section begins at object 0, not 1 as it says")
				num, end = 0, end-1
			}
			switch {
			case num > maxObjectNumber:
			case used && off > 0:
				s.doc.objects.table.add(int(num), entry{pos: off, gen: uint16(gen), kind: entryPlain})
			default:
				free = append(free, int(num))
			}
			if s.doc.objects.table.count+len(free) > s.file.opt.MaxObjects {
				return nil, s.tooManyObjects()
			}
		}
	}
	o, err := p.object(0)
	if err != nil {
		return nil, fmt.Errorf("%w: its trailer is no dictionary", errXref)
	}
	trailer, ok := o.(Dict)
	if !ok {
		return nil, fmt.Errorf("%w: its trailer is no dictionary", errXref)
	}
	// A hybrid file lists as free what only its stream section knows (7.5.8.4).
	if off, ok := integer(trailer["XRefStm"]); ok && !seen[off] {
		seen[off] = true
		if _, err := s.section(off, seen); err != nil {
			if s.file.fatal(err) {
				return nil, err
			}
			s.doc.damage.note("the stream section of a hybrid file is damaged")
		}
	}
	for _, num := range free {
		s.doc.objects.table.add(num, entry{kind: entryFree})
	}
	return trailer, nil
}

func (s *sections) tooManyObjects() error {
	return fmt.Errorf("%w: more than %d objects", ErrBudget, s.file.opt.MaxObjects)
}

func digits(b []byte) (n int64, ok bool) {
	for _, c := range b {
		if !isDigit(c) {
			return 0, false
		}
		n = n*10 + int64(c-'0')
	}
	return n, true
}

// streamSection reads a cross-reference stream (7.5.8) and returns its
// dictionary, which doubles as trailer.
func (s *sections) streamSection(off int64, num int) (Dict, error) {
	o, _, _, err := s.doc.objects.readAt(off, num)
	if err != nil {
		return nil, err
	}
	stream, ok := o.(*Stream)
	if !ok || s.doc.Name(stream.Dict["Type"]) != "XRef" {
		return nil, fmt.Errorf("%w: no section at offset %d", errXref, off)
	}
	widths, total := [3]int{}, 0
	for i, w := range s.doc.Array(stream.Dict["W"]) {
		n, _ := s.doc.Int(w)
		if n < 0 || n > 8 {
			return nil, fmt.Errorf("%w: its field widths are wrong", errXref)
		}
		if i < 3 {
			widths[i] = int(n)
		}
		total += int(n)
	}
	if total == 0 || total > 64 {
		return nil, fmt.Errorf("%w: its field widths are wrong", errXref)
	}
	data, err := s.doc.decoder.all(stream, maxObjectStream)
	if err != nil {
		return nil, err
	}
	index, ok := s.doc.Numbers(stream.Dict["Index"])
	if !ok || len(index) < 2 {
		index = []float64{0, float64(len(data) / total)}
	}
	for ; len(index) >= 2; index = index[2:] {
		first, count := int64(index[0]), int64(index[1])
		for n := first; n < first+count && len(data) >= total; n++ {
			line := data[:total]
			data = data[total:]
			if n < 0 || n > maxObjectNumber {
				continue
			}
			s.addStreamLine(int(n), line, widths)
			if s.doc.objects.table.count > s.file.opt.MaxObjects {
				return nil, s.tooManyObjects()
			}
		}
	}
	return stream.Dict, nil
}

func (s *sections) addStreamLine(num int, line []byte, widths [3]int) {
	var fields [3]int64
	for i, w := range widths {
		for _, b := range line[:w] {
			fields[i] = fields[i]<<8 | int64(b)
		}
		line = line[w:]
	}
	if widths[0] == 0 {
		fields[0] = 1
	}
	switch fields[0] {
	case 0:
		s.doc.objects.table.add(num, entry{kind: entryFree})
	case 1:
		s.doc.objects.table.add(num, entry{pos: fields[1], gen: uint16(min(max(fields[2], 0), maxGeneration)), kind: entryPlain})
	case 2:
		s.doc.objects.table.add(num, entry{pos: fields[1], index: uint32(min(max(fields[2], 0), 1<<31)), kind: entryCompressed})
	default:
		s.doc.objects.table.add(num, entry{kind: entryFree}) // "the null object" (7.5.8.3)
	}
}
