package pdfobj

import (
	"bytes"
	"fmt"
	"io"
)

// mender finds a file's objects, its catalog and its trailer where the
// cross-reference table can't be relied on.
type mender struct {
	doc     *Document
	file    *source
	damage  *Damage
	scanned *scan // nil before the file was scanned
}

// fill adds the objects that no readable section lists.
func (m *mender) fill() error {
	if err := m.scan(); err != nil {
		return err
	}
	for num, e := range m.scanned.table.numbers {
		m.doc.objects.table.add(num, e)
	}
	return nil
}

// rebuild replaces the cross-reference table by what a scan finds.
func (m *mender) rebuild() error {
	m.doc.trailer, m.doc.security.crypt, m.doc.objects.table, m.doc.objects.streams = Dict{}, nil, table{}, objectStreams{}
	if err := m.scan(); err != nil {
		return err
	}
	if m.scanned.table.count == 0 {
		return fmt.Errorf("%w: %s", ErrNotPDF, m.file.looksLike())
	}
	for num, e := range m.scanned.table.numbers {
		m.doc.objects.table.set(num, e)
	}
	for _, t := range m.scanned.trailers {
		for _, key := range []Name{"Root", "Encrypt", "ID", "Info"} {
			if t[key] != nil {
				m.doc.trailer[key] = t[key]
			}
		}
	}
	if err := m.doc.security.open(); err != nil {
		return err
	}
	// Only now can encrypted object streams be read.
	if err := m.expandStreams(); err != nil {
		return err
	}
	for num, e := range m.scanned.table.numbers {
		m.doc.objects.table.set(num, e)
	}
	m.doc.objects.cache, m.damage.harmed, m.damage.rebuilt = cache{}, nil, true
	if err := m.findCutOff(); err != nil {
		return err
	}
	for i := len(m.scanned.trailers); !m.isCatalog(m.doc.trailer["Root"]); i-- {
		if i == 0 {
			return m.findCatalog()
		}
		m.doc.trailer["Root"] = m.scanned.trailers[i-1]["Root"]
	}
	return nil
}

func (m *mender) isCatalog(o Object) bool {
	if _, isRef := o.(Ref); !isRef {
		return false
	}
	c, ok := m.doc.value(o).(Dict)
	return ok && (m.doc.Name(c["Type"]) == "Catalog" || c["Pages"] != nil)
}

// findCatalog looks through all objects for one that says it is a catalog.
// A file without one may still have pages.
func (m *mender) findCatalog() error {
	delete(m.doc.trailer, "Root")
	for num, e := range m.doc.objects.table.numbers {
		r := Ref{num, int(e.gen)}
		o, err := m.doc.objects.get(r)
		if err != nil {
			return err
		}
		if c, ok := o.(Dict); ok && m.doc.Name(c["Type"]) == "Catalog" {
			m.doc.trailer["Root"] = r
		}
	}
	if m.doc.trailer["Root"] == nil {
		m.damage.note("the file has no catalog")
	}
	return nil
}

// scan scans the file once.
func (m *mender) scan() error {
	if m.scanned != nil {
		return nil
	}
	m.scanned = &scan{}
	s := &scanner{doc: m.doc, scan: m.scanned}
	if err := s.run(); err != nil {
		m.scanned = nil
		return err
	}
	if m.doc.trailer["Root"] == nil { // rebuild does it once the key is known
		return nil
	}
	return m.expandStreams()
}

// expandStreams adds the objects inside the object streams that the scan
// found, unless they are defined anew further down the file.
func (m *mender) expandStreams() error {
	t := &m.scanned.table
	streams := m.scanned.streams
	m.scanned.streams = nil
	for _, num := range streams {
		where := t.get(num)
		if where.kind != entryPlain {
			continue
		}
		if known := m.doc.objects.table.get(num); known.kind == entryUnknown || known.kind == entryFree {
			m.doc.objects.table.set(num, where)
		}
		s, err := m.doc.objects.objectStream(num)
		if err != nil {
			if m.file.fatal(err) {
				return err
			}
			m.damage.note("object stream %d: %v", num, err)
			m.damage.lost(num, "%v", err)
			continue
		}
		for i, n := range s.nums {
			if n <= 0 || n > maxObjectNumber {
				continue
			}
			old := t.get(n)
			oldPos := old.pos
			if old.kind == entryCompressed {
				oldPos = t.get(int(old.pos)).pos
			}
			if old.kind == entryUnknown || oldPos < where.pos {
				t.set(n, entry{pos: int64(num), index: uint32(i), kind: entryCompressed, scanned: true})
			}
		}
		if t.count > m.file.opt.MaxObjects {
			return m.doc.sections.tooManyObjects()
		}
	}
	return nil
}

// findCutOff looks, in a file whose table had to be rebuilt, for objects behind
// its last complete end: an update that was cut off. A linearized file has such
// an end in its front, which names no section (Annex F).
func (m *mender) findCutOff() error {
	last := int64(0)
	for _, e := range m.scanned.table.numbers {
		last = max(last, e.pos)
	}
	const word = "startxref"
	buf := make([]byte, 64<<10)
	for end := m.file.size; end > 0; {
		from := max(0, end-int64(len(buf)))
		n, err := m.file.src.ReadAt(buf[:end-from], from)
		if err != nil && err != io.EOF {
			return err
		}
		if i := bytes.LastIndex(buf[:n], []byte(word)); i >= 0 {
			at := from + int64(i)
			t, err := newBytesLexer(buf[i+len(word) : n]).next()
			m.damage.cutOff = at < last && err == nil && t.kind == tokenInteger && t.num > 0 && t.num < at
			return nil
		}
		if from == 0 {
			return nil
		}
		end = from + int64(len(word))
	}
	return nil
}
