package labels

import (
	"context"
	"errors"
	"slices"

	"quoin/impose/register"
	"quoin/impose/say"
	"quoin/impose/thrift"
)

// drawn is how many pixels an inch pages are drawn at: three for a module of a
// quarter of a millimetre.
const drawn = 300

// Verify proves a run. What is wrong is in the report; an error says that it
// couldn't be looked at.
func Verify(ctx context.Context, o Options) (*Report, error) {
	defer thrift.Collect(thrift.Lean)()
	thrift.Release()
	reg, err := register.View(o.at(o.Register))
	if err != nil {
		return nil, err
	}
	defer reg.Close()
	r, err := open(reg, o)
	if err != nil {
		return nil, err
	}
	out := &Report{Run: r.File, Parts: len(r.parts), Differences: say.Notes{}}
	r.journal(out)
	if o.Records != "" {
		if err := r.data(reg, o.Records, out); err != nil {
			return nil, err
		}
	}
	look := &eyes{say: o.Say, glances: o.Glance}
	defer look.close()
	had := make(seen, r.Records/64+1)
	for _, p := range r.parts {
		if o.Parts != nil && !slices.Contains(o.Parts, p.Number) {
			continue
		}
		if err := r.part(ctx, reg, look, p, had, &o, out); err != nil {
			return nil, err
		}
		thrift.Release()
	}
	if o.Parts == nil || len(o.Parts) == len(r.parts) {
		r.missing(had, out)
	}
	return out, nil
}

// symbols reports whether labels of the run carry any.
func (r *run) symbols() bool {
	return slices.ContainsFunc(r.spec.Fields, func(f field) bool { return f.Symbol != nil })
}

// looksAt reports whether the symbols of a frame are decoded.
func (r *run) looksAt(p register.Part, frame int64, o *Options) bool {
	switch frame {
	case p.First:
		return true
	case p.First + p.Frames - 1:
		return o.All || !o.Glance || p.Number == r.parts[len(r.parts)-1].Number
	}
	return o.All
}

// part proves a part frame by frame: its ledger, the rolls along its lanes, and the
// symbols on its pages.
func (r *run) part(ctx context.Context, reg *register.Register, look *eyes, p register.Part, had seen, o *Options, out *Report) error {
	book, err := r.open(ctx, look, p, out)
	if err != nil {
		return err
	}
	if book != nil {
		defer book.close()
	}
	along := rolls{r, out, map[int]*stretch{}}
	err = r.ledger(p, out, func(frame []entry) error {
		r.count(frame, had, out)
		along.frame(frame)
		n := frame[0].frame
		if book == nil || !r.looksAt(p, n, o) {
			return nil
		}
		out.Frames++
		err := r.page(ctx, reg, book, int(n-p.First), frame, out)
		var lost *unregistered
		if err != nil && ctx.Err() == nil && !errors.As(err, &lost) {
			out.differs(PartChanged, "%s can't be drawn: %v", r.path(p.File), err)
			book.close()
			book, err = nil, nil
		}
		return err
	})
	along.end()
	return err
}
