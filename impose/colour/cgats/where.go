package cgats

import (
	"fmt"
	"strings"
	"time"
)

// Fields of our own, declared with KEYWORD as the form asks, that say where and
// when a reading was taken.
const (
	FieldAcross = "PLACE_ACROSS" // mm from the web's left edge
	FieldAround = "PLACE_AROUND" // mm from the frame's leading end
	FieldFrame  = "FRAME"        // of the run, first is 1
	FieldMetre  = "METRE"        // of the run
	FieldTime   = "TIME"         // RFC 3339, or hours, minutes and seconds of one day
)

// farthest is more metres, and more frames, than any roll has.
const farthest = 1e7

// where reads place, frame, metre and time; the header may say the last three
// for the table as a whole.
func (c *columns) where(row Row, s *Sample) error {
	if at := c.table.triple(FieldAcross, FieldAround); at != nil {
		v, err := c.numbers(row, at)
		if err != nil {
			return err
		}
		s.Place = &[2]float64{v[0], v[1]}
	}
	for _, f := range []struct {
		field string
		into  **float64
	}{{FieldFrame, &s.Frame}, {FieldMetre, &s.Metre}} {
		text, line, ok := c.table.said(row, f.field)
		if !ok {
			continue
		}
		v, err := c.table.number(line, f.field, text)
		if err != nil {
			return err
		}
		if v < 0 || v > farthest {
			return &Error{Path: c.table.Path, Line: line, Field: f.field, Text: fmt.Sprintf("%g lies before the run, or beyond any", v), Way: "count from the run's start"}
		}
		*f.into = &v
	}
	text, line, ok := c.table.said(row, FieldTime)
	if !ok {
		return nil
	}
	when, err := clock(text)
	if err != nil {
		return &Error{Path: c.table.Path, Line: line, Field: FieldTime, Text: err.Error(), Way: "write it as 2026-05-04T14:30:00Z or as 14:30:00"}
	}
	s.Time = &when
	return nil
}

// said finds a field's value in the row, or else in the header, and its line.
func (t *Table) said(row Row, field string) (text string, line int, ok bool) {
	if at := t.Column(field); at >= 0 {
		return row.Values[at], row.Line, true
	}
	for _, k := range t.Headers {
		if strings.EqualFold(k.Name, field) {
			return k.Value, k.Line, true
		}
	}
	return "", 0, false
}

func clock(text string) (time.Time, error) {
	for _, form := range []string{time.RFC3339, "2006-01-02T15:04:05", "2006-01-02 15:04:05", "15:04:05", "15:04"} {
		if t, err := time.Parse(form, text); err == nil {
			return t, nil
		}
	}
	return time.Time{}, fmt.Errorf("%q is no time", shown(text))
}
