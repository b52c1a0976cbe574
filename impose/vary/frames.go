package vary

import (
	"context"
	"fmt"
	"io"
	"slices"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/press"
)

// WriteFrames writes the frames from number first to before end, counted from
// 0, as one press file, and what stands where as a ledger. The same frames give
// the same bytes, however the run is cut into files.
//
// One goroutine reads records, one for each processor sets and compresses
// frames, and the caller's writes them in order. Done, if given, is called with
// the number of each frame that is written.
func (r *Run) WriteFrames(ctx context.Context, file, ledger io.Writer, first, end int64, done func(frame int64)) error {
	w, err := press.New(file, r.plan.Setup)
	if err != nil {
		return err
	}
	size := geometry.Size{Across: r.plan.Layout.Web.Width, Around: r.plan.Layout.Repeat}
	series, err := w.Series(size, framePaints(r), r.fonts)
	if err != nil {
		return err
	}
	kept := &kept{run: r, series: series, list: map[string]keptPair{}}
	book := newLedger(ledger)
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	for job := range renderedFrames(ctx, r, series, first, end) {
		content, err := job.content, job.err
		if err != nil {
			return placedFault(r, job, err)
		}
		of, err := kept.of(job.is)
		if err != nil {
			return err
		}
		if err := series.Add(of.beneath, job.places, content, of.above, aboutFrame(r, job)); err != nil {
			return err
		}
		if err := book.frame(r, job); err != nil {
			return err
		}
		if done != nil {
			done(job.frame)
		}
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := w.Close(); err != nil {
		return err
	}
	return book.close()
}

// aboutFrame says which records are on a frame.
func aboutFrame(r *Run, job *frameJob) press.About {
	a := press.About{Frame: job.frame + 1}
	at := make([]int, len(r.Order.Lanes)) // of the lane in the list, from 1
	for i, s := range r.stations {
		n := job.numbers[i]
		if n == 0 {
			continue
		}
		if at[s.lane] == 0 {
			a.Lanes = append(a.Lanes, [3]int64{int64(s.Lane), n, n})
			at[s.lane] = len(a.Lanes)
		}
		l := &a.Lanes[at[s.lane]-1]
		l[1], l[2] = min(l[1], n), max(l[2], n)
	}
	return a
}

// framePaints lists the fields' paints.
func framePaints(r *Run) []draw.Paint {
	var list []draw.Paint
	for _, f := range r.fields {
		for _, p := range f.paints {
			if !slices.ContainsFunc(list, func(q draw.Paint) bool { return q.String() == p.String() }) {
				list = append(list, p)
			}
		}
		if f.paints != nil || f.Picture != nil {
			continue
		}
		if !slices.ContainsFunc(list, func(p draw.Paint) bool { return p.String() == f.paint.String() }) {
			list = append(list, f.paint)
		}
	}
	return list
}

// placedFault says which record an error of a frame is about.
func placedFault(r *Run, job *frameJob, err error) error {
	if e, ok := err.(*stationError); ok {
		return r.plan.Records.Place(job.numbers[e.station], e.err)
	}
	return fmt.Errorf("frame %d: %w", job.frame+1, err)
}
