package pdfobj

import (
	"bytes"
	"errors"
	"fmt"
	"io"
)

var errXref = errors.New("the cross-reference table is damaged")

// readHeader finds the header, which 7.5.2 wants at the very start.
func (d *Document) readHeader() error {
	head := make([]byte, min(d.size, 4096))
	n, err := d.src.ReadAt(head, 0)
	if err != nil && err != io.EOF {
		return err
	}
	head = head[:n]
	i := bytes.Index(head, []byte("%PDF-"))
	if i < 0 {
		d.note("the file has no header")
		d.version = "1.4"
		return nil
	}
	if i > 0 {
		d.note("%d bytes stand before the header", i)
	}
	d.header = int64(i)
	v := head[i+5:]
	if len(v) >= 3 && isDigit(v[0]) && v[1] == '.' && isDigit(v[2]) {
		d.version = string(v[:3])
	} else {
		d.note("the header states no version")
		d.version = "1.4"
	}
	return nil
}

// readTable reads the cross-reference sections, newest first, or rebuilds
// the table, and finds the catalog.
func (d *Document) readTable() error {
	err := d.readSections()
	if err == nil {
		err = d.openEncryption()
	}
	if err == nil && !d.isCatalog(d.trailer["Root"]) {
		err = fmt.Errorf("%w: it leads to no catalog", errXref)
	}
	if d.err != nil {
		return d.err
	}
	// What was resolved while the table was half read may have been missing.
	d.cache = cache{}
	if err == nil || errors.Is(err, ErrPassword) || errors.Is(err, ErrNotPermitted) ||
		errors.Is(err, ErrEncryption) || d.fatal(err) {
		return err
	}
	d.note("%v; the file was scanned for its objects", err)
	return d.rebuild()
}

func (d *Document) isCatalog(o Object) bool {
	if _, isRef := o.(Ref); !isRef {
		return false
	}
	c, ok := d.value(o).(Dict)
	return ok && (d.Name(c["Type"]) == "Catalog" || c["Pages"] != nil)
}

func (d *Document) readSections() error {
	start, err := d.startxref()
	if err != nil {
		return err
	}
	seen := map[int64]bool{}
	for off, more := start, true; more; {
		if seen[off] {
			d.note("the cross-reference sections form a loop")
			break
		}
		seen[off] = true
		var trailer Dict
		if trailer, err = d.section(off, seen); err != nil {
			if d.trailer == nil || d.fatal(err) {
				return err
			}
			// An older section is damaged: fill up from a scan.
			d.note("an older cross-reference section is damaged: %v", err)
			return d.fillFromScan()
		}
		if d.trailer == nil {
			d.trailer = Dict{}
		}
		for _, key := range []Name{"Root", "Encrypt", "ID", "Info", "Size"} {
			if _, ok := d.trailer[key]; !ok && trailer[key] != nil {
				d.trailer[key] = trailer[key]
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

// startxref returns the offset that the end of the file states (7.5.5).
func (d *Document) startxref() (int64, error) {
	const word = "startxref"
	tail := make([]byte, min(d.size, 4096))
	n, err := d.src.ReadAt(tail, d.size-int64(len(tail)))
	if err != nil && err != io.EOF {
		return 0, err
	}
	i := bytes.LastIndex(tail[:n], []byte(word))
	if i < 0 {
		return 0, fmt.Errorf("%w: no startxref", errXref)
	}
	t, err := newBytesLexer(tail[i+len(word) : n]).next()
	if err != nil || t.kind != tokenInteger {
		return 0, fmt.Errorf("%w: startxref states no offset", errXref)
	}
	return t.num, nil
}

// section reads one section at an offset that counts from the file's start
// or from its header, and returns its trailer.
func (d *Document) section(off int64, seen map[int64]bool) (Dict, error) {
	trailer, err := d.sectionAt(off, seen)
	if err != nil && d.header > 0 && !d.fatal(err) {
		if t, err2 := d.sectionAt(off+d.header, seen); err2 == nil {
			return t, nil
		}
	}
	return trailer, err
}

func (d *Document) sectionAt(off int64, seen map[int64]bool) (Dict, error) {
	if err := d.expired(); err != nil {
		return nil, err
	}
	if off < 0 || off >= d.size {
		return nil, fmt.Errorf("%w: offset %d is outside of the file", errXref, off)
	}
	p := &d.parser
	p.start()
	p.seek(off)
	t, err := p.token()
	if err != nil {
		return nil, err
	}
	switch {
	case t.isKeyword("xref"):
		return d.classicSection(seen)
	case t.kind == tokenInteger:
		return d.streamSection(off, int(min(max(t.num, 0), maxObjectNumber)))
	}
	return nil, fmt.Errorf("%w: no section at offset %d", errXref, off)
}

// classicSection reads a table and its trailer (7.5.4), after its keyword.
func (d *Document) classicSection(seen map[int64]bool) (Dict, error) {
	p := &d.parser
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
			off, gen, used, err := d.tableLine()
			if err != nil {
				return nil, err
			}
			if num == 1 && t.num == 1 && !used && off == 0 && gen == maxGeneration {
				// The head of the free list is object 0 (7.5.4).
				d.note("a cross-reference section begins at object 0, not 1 as it says")
				num, end = 0, end-1
			}
			switch {
			case num > maxObjectNumber:
			case used && off > 0:
				d.table.add(int(num), entry{pos: off, gen: uint16(gen), kind: entryPlain})
			default:
				free = append(free, int(num))
			}
			if d.table.count+len(free) > d.opt.MaxObjects {
				return nil, d.tooManyObjects()
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
		if _, err := d.section(off, seen); err != nil {
			if d.fatal(err) {
				return nil, err
			}
			d.note("the stream section of a hybrid file is damaged")
		}
	}
	for _, num := range free {
		d.table.add(num, entry{kind: entryFree})
	}
	return trailer, nil
}

func (d *Document) tooManyObjects() error {
	return fmt.Errorf("%w: more than %d objects", ErrBudget, d.opt.MaxObjects)
}

// tableLine reads one line of a table. Lines of exactly 20 bytes take the
// short way; other shapes occur.
func (d *Document) tableLine() (off, gen int64, used bool, err error) {
	p := &d.parser
	if len(p.ahead) == 0 {
		p.skipSpace()
		if p.ensure(18) {
			b := p.buf[p.pos : p.pos+18]
			off, ok1 := digits(b[:10])
			gen, ok2 := digits(b[11:16])
			if ok1 && ok2 && b[10] == ' ' && b[16] == ' ' && (b[17] == 'n' || b[17] == 'f') {
				p.pos += 18
				return off, min(gen, maxGeneration), b[17] == 'n', nil
			}
		}
	}
	var t [3]token
	for i := range t {
		if t[i], err = p.token(); err != nil {
			return 0, 0, false, err
		}
	}
	if t[0].kind != tokenInteger || t[1].kind != tokenInteger || !t[2].isKeyword("n") && !t[2].isKeyword("f") {
		return 0, 0, false, fmt.Errorf("%w: a line is damaged", errXref)
	}
	return t[0].num, min(max(t[1].num, 0), maxGeneration), t[2].text == "n", nil
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
func (d *Document) streamSection(off int64, num int) (Dict, error) {
	o, _, _, err := d.readAt(off, num)
	if err != nil {
		return nil, err
	}
	s, ok := o.(*Stream)
	if !ok || d.Name(s.Dict["Type"]) != "XRef" {
		return nil, fmt.Errorf("%w: no section at offset %d", errXref, off)
	}
	widths, total := [3]int{}, 0
	for i, w := range d.Array(s.Dict["W"]) {
		n, _ := d.Int(w)
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
	data, err := d.decodeAll(s, maxObjectStream)
	if err != nil {
		return nil, err
	}
	index, ok := d.Numbers(s.Dict["Index"])
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
			d.addStreamLine(int(n), line, widths)
			if d.table.count > d.opt.MaxObjects {
				return nil, d.tooManyObjects()
			}
		}
	}
	return s.Dict, nil
}

func (d *Document) addStreamLine(num int, line []byte, widths [3]int) {
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
		d.table.add(num, entry{kind: entryFree})
	case 1:
		d.table.add(num, entry{pos: fields[1], gen: uint16(min(max(fields[2], 0), maxGeneration)), kind: entryPlain})
	case 2:
		d.table.add(num, entry{pos: fields[1], index: uint32(min(max(fields[2], 0), 1<<31)), kind: entryCompressed})
	default:
		d.table.add(num, entry{kind: entryFree}) // "the null object" (7.5.8.3)
	}
}
