package pdfobj

import (
	"errors"
	"fmt"
	"io"

	"quoin/impose/pdfobj/filter"
)

// Stage is one filter of a stream with its parameters.
type Stage struct {
	Filter Name // its full name, such as DCTDecode for DCT
	Parms  Dict // nil if there are none
}

// Stages returns the filters of a stream in the order of decoding. The keys
// and values may be the short ones of inline images.
func (d *Document) Stages(s *Stream) ([]Stage, error) {
	filters := d.decoder.list(s.Dict, "Filter", "F")
	parms := d.decoder.list(s.Dict, "DecodeParms", "DP")
	if len(filters) > d.file.opt.MaxDepth {
		return nil, fmt.Errorf("%w: a stream has %d filters", ErrBudget, len(filters))
	}
	var stages []Stage
	for i, f := range filters {
		stage := Stage{Filter: Name(filter.FullName(string(d.Name(f))))}
		if stage.Filter == "" {
			return nil, errors.New("a filter of the stream has no name")
		}
		if i < len(parms) {
			stage.Parms = d.Dict(parms[i])
		}
		stages = append(stages, stage)
	}
	return stages, nil
}

// decoder undoes the filters of streams.
type decoder struct{ doc *Document }

// list returns the value of a key that may be one object or an array of them.
// The short key counts only where the long one is missing and it is a name, a
// dictionary or an array: in other streams F is a file.
func (c *decoder) list(dict Dict, long, short Name) Array {
	o, found := dict[long]
	if !found {
		o = dict[short]
	}
	switch v := c.doc.value(o).(type) {
	case Array:
		return v
	case Name:
		return Array{v}
	case Dict:
		if found || short == "DP" {
			return Array{v}
		}
	}
	return nil
}

// Decoded returns the bytes of a stream with all filters undone. It fails
// with ErrImageFilter if one of them is an image codec (DCT, JPX, JBIG2,
// CCITT Fax). The reader fails with ErrBudget past Options.MaxDecoded bytes;
// damaged data ends it early and without error, as long as any was good.
func (d *Document) Decoded(s *Stream) (io.Reader, error) {
	r, rest, err := d.DecodedUpTo(s)
	if err != nil {
		return nil, err
	}
	if len(rest) > 0 {
		return nil, fmt.Errorf("%w: %s", ErrImageFilter, rest[0].Filter)
	}
	return r, nil
}

// DecodedUpTo undoes the filters of a stream up to the first image codec and
// returns the stages that are left.
func (d *Document) DecodedUpTo(s *Stream) (r io.Reader, rest []Stage, err error) {
	return d.decoder.upTo(s, nil)
}

// upTo also tells of data that end before they should.
func (c *decoder) upTo(s *Stream, tell func(error)) (r io.Reader, rest []Stage, err error) {
	stages, err := c.doc.Stages(s)
	if err != nil {
		return nil, nil, err
	}
	if r, err = s.Raw(); err != nil {
		return nil, nil, err
	}
	for i, stage := range stages {
		if filter.IsImage(string(stage.Filter)) {
			return c.bounded(r), stages[i:], nil
		}
		// Every stage is bounded: a bomb inside a bomb must not spin.
		next, err := filter.Decode(c.bounded(r), string(stage.Filter), c.params(stage.Parms, s.n, tell))
		if err != nil {
			return nil, nil, err
		}
		r = next
	}
	return c.bounded(r), nil, nil
}

// all reads a whole stream into memory.
func (c *decoder) all(s *Stream, limit int64) ([]byte, error) {
	r, err := c.doc.Decoded(s)
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(io.LimitReader(r, limit+1))
	if err != nil {
		return nil, err
	}
	if int64(len(data)) > limit {
		return nil, fmt.Errorf("%w: more than %d bytes decoded", ErrBudget, limit)
	}
	return data, nil
}

// boundedReader fails past a number of bytes and when the context ends.
type boundedReader struct {
	r    io.Reader
	file *source
	left int64
}

func (c *decoder) bounded(r io.Reader) io.Reader {
	return &boundedReader{r, &c.doc.file, c.doc.file.opt.MaxDecoded}
}

func (b *boundedReader) Read(p []byte) (int, error) {
	if err := b.file.expired(); err != nil {
		return 0, err
	}
	if b.left <= 0 {
		var one [1]byte
		if n, err := b.r.Read(one[:]); n == 0 {
			return 0, err
		}
		return 0, fmt.Errorf("%w: more than %d bytes decoded", ErrBudget, b.file.opt.MaxDecoded)
	}
	n, err := b.r.Read(p[:min(int64(len(p)), b.left)])
	b.left -= int64(n)
	return n, err
}

// params returns a filter's parameters, and whom to tell of damage.
func (c *decoder) params(parms Dict, stored int64, tell func(error)) filter.Params {
	p := filter.DefaultParams
	p.Stored, p.Damaged = stored, tell
	for key, field := range map[Name]*int{
		"Predictor": &p.Predictor, "Colors": &p.Colors, "BitsPerComponent": &p.BitsPerComponent,
		"Columns": &p.Columns, "EarlyChange": &p.EarlyChange,
	} {
		if n, ok := c.doc.Int(parms[key]); ok {
			*field = int(min(max(n, -1), 1<<30))
		}
	}
	return p
}
