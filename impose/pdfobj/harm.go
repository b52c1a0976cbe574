package pdfobj

import (
	"errors"
	"fmt"
	"io"
	"slices"
)

// Reading goes on where an object is damaged, because much of a file may be of
// no interest. What was lost is kept by object number, so that whoever needs an
// object can ask.

// ErrHarmed means that data of an object are lost.
var ErrHarmed = errors.New("the file is damaged")

// Damage is what was found wrong with a file so far, and what was done about it.
type Damage struct {
	doc     *Document
	notes   []string
	harmed  map[int]string // by object number, why
	tree    string         // see Tree
	rebuilt bool           // the table was rebuilt from a scan
	cutOff  bool           // see CutOff
}

// Notes says what had to be mended so far, in no more than a few lines.
func (h *Damage) Notes() []string { return slices.Clone(h.notes) }

const maxNotes = 50

func (h *Damage) note(format string, args ...any) {
	if len(h.notes) >= maxNotes {
		return
	}
	if n := fmt.Sprintf(format, args...); !slices.Contains(h.notes, n) {
		h.notes = append(h.notes, n)
	}
}

// Of tells why the object that r points to can't be relied on: "" if it can.
// A reference to nothing is the null object (7.3.10) in a sound file; in one
// whose table had to be rebuilt, it points to what is lost.
func (h *Damage) Of(r Ref) string {
	if _, err := h.doc.objects.get(r); err != nil {
		return err.Error()
	}
	if why := h.harmed[r.Num]; why != "" {
		return why
	}
	if h.rebuilt && !h.doc.objects.exists(r) {
		return "it is missing"
	}
	return ""
}

// Any reports whether anything in the file had to be repaired so far, or was
// lost.
func (h *Damage) Any() bool { return h.rebuilt || len(h.notes) > 0 || len(h.harmed) > 0 }

// CutOff reports whether the file was changed by an update whose end is missing
// (7.5.6): nobody can know then what it would have changed.
func (h *Damage) CutOff() bool { return h.cutOff }

func (h *Damage) lost(num int, format string, args ...any) {
	if h.harmed == nil {
		h.harmed = map[int]string{}
	}
	if h.harmed[num] == "" && len(h.harmed) < maxHarmed {
		h.harmed[num] = fmt.Sprintf(format, args...)
	}
}

// Tree says what had to be mended in the page tree so far; "" for
// nothing. A page's number may then be another one than its author's.
func (h *Damage) Tree() string { return h.tree }

func (h *Damage) noteTree(format string, args ...any) {
	h.note(format, args...)
	if h.tree == "" {
		h.tree = fmt.Sprintf(format, args...)
	}
}

// maxHarmed bounds the damaged objects that are kept.
const maxHarmed = 1 << 20

// Stream decodes a stream up to its first image codec and fails with ErrHarmed
// if its data are cut short or broken. A wrong or missing checksum at the end
// is no damage.
func (h *Damage) Stream(s *Stream) error {
	if why := h.harmed[s.Ref.Num]; why != "" && !s.Ref.IsZero() {
		return fmt.Errorf("%w: object %d: %s", ErrHarmed, s.Ref.Num, why)
	}
	var broken error
	r, _, err := h.doc.decoder.upTo(s, func(err error) { broken = err })
	if err == nil {
		_, err = io.Copy(io.Discard, r)
	}
	if err == nil {
		err = broken
	}
	if err == nil || h.doc.file.fatal(err) {
		return err
	}
	return fmt.Errorf("%w: object %d: its data are cut short: %v", ErrHarmed, s.Ref.Num, err)
}
