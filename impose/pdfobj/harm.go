package pdfobj

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"quoin/impose/pdfobj/filter"
)

// Reading goes on where an object is damaged, because much of a file may be of
// no interest. What was lost is kept by object number, so that whoever needs an
// object can ask.

// ErrHarmed means that data of an object are lost.
var ErrHarmed = errors.New("the file is damaged")

// Harm tells why the object that r points to can't be relied on: "" if it can.
// A reference to nothing is the null object (7.3.10) in a sound file; in one
// whose table had to be rebuilt, it points to what is lost.
func (d *Document) Harm(r Ref) string {
	if _, err := d.Get(r); err != nil {
		return err.Error()
	}
	if why := d.harmed[r.Num]; why != "" {
		return why
	}
	if d.rebuilt && !d.exists(r) {
		return "it is missing"
	}
	return ""
}

// Mended reports whether anything in the file had to be repaired so far, or was
// lost.
func (d *Document) Mended() bool { return d.rebuilt || len(d.notes) > 0 || len(d.harmed) > 0 }

// CutOff tells whether the file was changed by an update whose end is missing
// (7.5.6): nobody can know then what it would have changed.
func (d *Document) CutOff() bool { return d.cutOff }

func (d *Document) harm(num int, format string, args ...any) {
	if d.harmed == nil {
		d.harmed = map[int]string{}
	}
	if d.harmed[num] == "" && len(d.harmed) < maxHarmed {
		d.harmed[num] = fmt.Sprintf(format, args...)
	}
}

// maxHarmed bounds the damaged objects that are kept.
const maxHarmed = 1 << 20

// Intact decodes a stream up to its first image codec and fails with ErrHarmed
// if its data are cut short or broken. A wrong or missing checksum at the end
// is no damage.
func (d *Document) Intact(s *Stream) error {
	if why := d.harmed[s.Ref.Num]; why != "" && !s.Ref.IsZero() {
		return fmt.Errorf("%w: object %d: %s", ErrHarmed, s.Ref.Num, why)
	}
	var broken error
	r, _, err := d.decodedUpTo(s, func(err error) { broken = err })
	if err == nil {
		_, err = io.Copy(io.Discard, r)
	}
	if err == nil {
		err = broken
	}
	if err == nil || d.fatal(err) {
		return err
	}
	return fmt.Errorf("%w: object %d: its data are cut short: %v", ErrHarmed, s.Ref.Num, err)
}

// params gives a filter's parameters, and whom to tell of damage.
func (d *Document) params(parms Dict, tell func(error)) filter.Params {
	p := filter.DefaultParams
	p.Damaged = tell
	for key, field := range map[Name]*int{
		"Predictor": &p.Predictor, "Colors": &p.Colors, "BitsPerComponent": &p.BitsPerComponent,
		"Columns": &p.Columns, "EarlyChange": &p.EarlyChange,
	} {
		if n, ok := d.Int(parms[key]); ok {
			*field = int(min(max(n, -1), 1<<30))
		}
	}
	return p
}

// findCutOff looks, in a file whose table had to be rebuilt, for objects behind
// its last complete end: an update that was cut off. A linearized file has such
// an end in its front, which names no section (Annex F).
func (d *Document) findCutOff() error {
	last := int64(0)
	for _, e := range d.scanned.table.numbers {
		last = max(last, e.pos)
	}
	const word = "startxref"
	buf := make([]byte, 64<<10)
	for end := d.size; end > 0; {
		from := max(0, end-int64(len(buf)))
		n, err := d.src.ReadAt(buf[:end-from], from)
		if err != nil && err != io.EOF {
			return err
		}
		if i := bytes.LastIndex(buf[:n], []byte(word)); i >= 0 {
			at := from + int64(i)
			t, err := newBytesLexer(buf[i+len(word) : n]).next()
			d.cutOff = at < last && err == nil && t.kind == tokenInteger && t.num > 0 && t.num < at
			return nil
		}
		if from == 0 {
			return nil
		}
		end = from + int64(len(word))
	}
	return nil
}
