package plan

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/data"
	"quoin/impose/job"
	"quoin/impose/say"
)

// Records is a job's variable data as people look at it: one record on the label,
// and the records with the longest values.
type Records struct {
	File   string         `json:"file,omitempty"` // of the records, seen from the folder; "" where they are counted
	Count  int64          `json:"count"`
	Record int64          `json:"record"` // that is shown, first is 1
	Values []Named        `json:"values"`
	Fields []FieldRecords `json:"fields"`
	Fault  *RecordFault   `json:"fault,omitempty"`

	// PDF is a frame with the record on its only label, which stands at Label; nil
	// with a fault.
	PDF   []byte       `json:"-"`
	Label geometry.Box `json:"-"`
}

// Named is a value of a record.
type Named struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

// FieldRecords is a field with the record whose text is longest in it.
type FieldRecords struct {
	Name    string `json:"name"`
	Value   string `json:"value"` // as the job says it
	Longest int64  `json:"longest_record"`
	Text    string `json:"longest_text"`
}

// RecordFault says which record can't be printed, and where it stands.
type RecordFault struct {
	Text   string   `json:"text"`
	Hint   string   `json:"hint,omitempty"`
	File   string   `json:"file,omitempty"`
	Line   int      `json:"line,omitempty"`
	Column string   `json:"column,omitempty"`
	Record int64    `json:"record,omitempty"`
	Near   []string `json:"near,omitempty"` // the lines around it; the third is it
	First  int      `json:"first,omitempty"`
}

// Records puts one record on the job's label.
func (b *Bench) Records(ctx context.Context, text []byte, number int64) (r *Records, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	defer func() {
		if p := recover(); p != nil { // whatever an artwork holds, the page stays
			r, err = nil, fmt.Errorf("the record can't be shown: %v", p)
		}
	}()
	j, err := Read(b.folder, b.path, text)
	if err != nil {
		return nil, err
	}
	if err := j.Validate(); err != nil {
		return nil, err
	}
	if j.Data == nil || len(j.Fields) == 0 {
		return nil, say.Refuse(say.BadFile, "give the job data and fields, as samples/numbered.yaml does", "the job has no variable data")
	}
	im, err := b.openAlone(ctx, j)
	if err != nil {
		return nil, err
	}
	defer im.Close()
	r = &Records{Record: max(1, number)}
	if j.Data.File != "" {
		r.File = b.folder.Rel(j.Path(j.Data.File))
	}
	if err := r.fill(ctx, im); err != nil {
		if r.Fault = b.recordFault(err); r.Fault == nil {
			return nil, err
		}
	}
	return r, nil
}

// openAlone opens a job with one label on its frame, where its die allows it.
func (b *Bench) openAlone(ctx context.Context, j *job.Job) (*impose.Imposition, error) {
	alone := *j
	alone.Lanes, alone.Rows, alone.Die = 1, 1, ""
	if im, err := b.shelf.Open(ctx, &alone); err == nil {
		return im, nil
	}
	return b.shelf.Open(ctx, j)
}

func (r *Records) fill(ctx context.Context, im *impose.Imposition) error {
	records, err := im.Records()
	if err != nil {
		return err
	}
	run, _, err := im.Vary(ctx, records, []int64{r.Record})
	if err != nil {
		return err
	}
	defer run.Close()
	r.Count = records.Count
	r.Record = min(r.Record, max(1, r.Count))
	values, err := records.Lookup().Get(r.Record)
	if err != nil {
		return err
	}
	for i, name := range records.Names {
		r.Values = append(r.Values, Named{name, values[i]})
	}
	if err := r.longest(ctx, im.Job.Fields, records); err != nil {
		return err
	}
	var pdf bytes.Buffer
	if err := run.WriteFrames(ctx, &pdf, io.Discard, 0, 1, nil); err != nil {
		return err
	}
	r.PDF = pdf.Bytes()
	for _, st := range im.Layout.Station {
		if r.Label.Empty() || st.Lane == 1 && st.Row == 1 {
			r.Label = st.Trim
		}
	}
	return nil
}

// longest walks through all records once.
func (r *Records) longest(ctx context.Context, fields []job.Field, records *data.Records) error {
	templates := make([][]*data.Template, len(fields))
	for i, f := range fields {
		said := []string{f.Value}
		for _, e := range f.Elements {
			said = append(said, e.Value)
		}
		for _, text := range said {
			t, err := data.ParseTemplate(text, records.Names)
			if err != nil {
				return err
			}
			templates[i] = append(templates[i], t)
		}
		name := cmp.Or(f.Name, fmt.Sprintf("field %d", i+1))
		r.Fields = append(r.Fields, FieldRecords{Name: name, Value: f.Value, Longest: 1})
	}
	reader, err := records.From(1)
	if err != nil {
		return err
	}
	most := make([]int, len(fields))
	var text []byte
	for n := int64(1); ; n++ {
		if n%4096 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		values, err := reader.Next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		for i, list := range templates {
			text = text[:0]
			for _, t := range list {
				text = t.Append(text, values)
			}
			if length := utf8.RuneCount(text); n == 1 || length > most[i] {
				most[i] = length
				r.Fields[i].Longest, r.Fields[i].Text = n, string(text)
			}
		}
	}
}

// recordFault tells of a record that can't be printed; nil for another error.
func (b *Bench) recordFault(err error) *RecordFault {
	var fault *data.Fault
	if !errors.As(err, &fault) {
		return nil
	}
	f := &RecordFault{Text: b.folder.Short(err.Error()), Hint: say.Hint(err), Line: fault.Line, Column: fault.Column, Record: fault.Record}
	if fault.Path == "" {
		return f
	}
	f.File = b.folder.Rel(fault.Path)
	if fault.Line > 0 {
		f.Near, f.First = b.near(fault.Path, fault.Line)
	}
	return f
}

// around is how many lines are shown before and after one.
const around = 2

// near returns the lines around one of a file, and the number of the first.
func (b *Bench) near(path string, line int) (list []string, first int) {
	text, err := b.folder.Named(path, mostNear)
	if err != nil {
		return nil, 0
	}
	first = max(1, line-around)
	for n, l := range bytes.Split(text, []byte("\n")) {
		if n+1 >= first && n+1 <= line+around {
			list = append(list, string(bytes.TrimRight(l[:min(len(l), 300)], "\r")))
		}
	}
	return list, first
}

const mostNear = 256 << 20
