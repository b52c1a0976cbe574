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
	series, err := w.Series(size, r.paints(), r.fonts)
	if err != nil {
		return err
	}
	kept, err := r.keep(series, first, end)
	if err != nil {
		return err
	}
	book := newLedger(ledger)
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	for job := range r.rendered(ctx, series, first, end) {
		content, err := job.content, job.err
		if err != nil {
			return r.placed(job, err)
		}
		beneath, above := kept.beneath, kept.above
		if r.partly(job.frame) {
			beneath, above = kept.spare, kept.spareAbove
		}
		if err := series.Add(beneath, job.places, content, above, r.about(job)); err != nil {
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

// about says which records are on a frame.
func (r *Run) about(job *frameJob) press.About {
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

// paints lists the fields' paints.
func (r *Run) paints() []draw.Paint {
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

// kept is what frames have in common.
type kept struct{ beneath, spare, above, spareAbove press.Kept }

// keep writes what frames have in common: artworks beneath the data, the rest
// above, so that varnish, white and marks stay whole.
func (r *Run) keep(s *press.Series, first, end int64) (kept, error) {
	var k kept
	var err error
	artworks, rest := r.split()
	if k.beneath, err = s.Keep(r.kept(artworks)); err != nil {
		return k, err
	}
	if f := r.Order.SpareFrame(); f >= first && f < end && r.Order.Spare() > 0 {
		if k.spare, err = s.Keep(r.spared(artworks)); err != nil {
			return k, err
		}
		if k.spareAbove, err = s.Keep(r.above(rest, r.plan.Spare == Blank)); err != nil {
			return k, err
		}
	}
	k.above, err = s.Keep(r.above(rest, false))
	return k, err
}

// above gives what is painted over the data: the rest of the frame, with a box of
// white for each symbol on an underprint that has the artwork's shape. Bare
// leaves the white of spare stations out.
func (r *Run) above(rest []draw.Item, bare bool) []draw.Item {
	var list []draw.Item
	for _, item := range rest {
		if bare && item.On() == draw.White && r.onSpare(item) {
			continue
		}
		list = append(list, item)
	}
	if len(r.plan.Under) == 0 {
		return list
	}
	paint := draw.Together(r.plan.Under...)
	paint.Overprint = true
	for _, f := range r.fields {
		if f.Symbol == nil {
			continue
		}
		for i := range r.stations {
			fill := draw.Fill{Layer: draw.White, Path: draw.Rectangle(r.stations[i].box(f.box(f.modules))), Paint: paint}
			if !bare || !r.onSpare(fill) {
				list = append(list, fill)
			}
		}
	}
	return list
}

// onSpare reports whether an item lies on a station that no record is left for.
func (r *Run) onSpare(item draw.Item) bool {
	var at geometry.Box
	switch it := item.(type) {
	case draw.Cover:
		at = it.Place.Trim
	case draw.Fill:
		at = it.Path.Bounds()
	default:
		return false
	}
	middle := geometry.Position{Across: (at.Min.Across + at.Max.Across) / 2, Around: (at.Min.Around + at.Max.Around) / 2}
	for _, s := range r.stations {
		if s.Trim.Contains(geometry.Box{Min: middle, Max: middle}) {
			_, ok := r.Order.At(r.Order.SpareFrame(), s.lane, s.Row-1)
			return !ok
		}
	}
	return false
}

// kept gives the artworks that are the same on all labels: none where each record
// names its own.
func (r *Run) kept(artworks []draw.Item) []draw.Item {
	if r.own == nil {
		return artworks
	}
	return nil
}

func (r *Run) split() (artworks, rest []draw.Item) {
	n := 0
	for n < len(r.plan.Items) && r.plan.Items[n].On() == draw.Artwork {
		n++
	}
	return r.plan.Items[:n], r.plan.Items[n:]
}

// partly reports whether a frame has spare stations.
func (r *Run) partly(frame int64) bool { return r.Order.Spare() > 0 && frame == r.Order.SpareFrame() }

// spared gives the artworks of the frame with the spare stations: without
// theirs where they stay blank, crossed out where they are void.
func (r *Run) spared(artworks []draw.Item) []draw.Item {
	spare := map[geometry.Box]bool{}
	for _, s := range r.stations {
		if _, ok := r.Order.At(r.Order.SpareFrame(), s.lane, s.Row-1); !ok {
			spare[s.Trim] = true
		}
	}
	var list []draw.Item
	for _, item := range artworks {
		p, ok := item.(draw.Place)
		if ok && (r.own != nil || spare[p.Trim] && r.plan.Spare == Blank) {
			if spare[p.Trim] && r.plan.Spare == Void {
				list = append(list, r.void(p.Trim)...)
			}
			continue
		}
		list = append(list, item)
		if ok && spare[p.Trim] && r.plan.Spare == Void {
			list = append(list, r.void(p.Trim)...)
		}
	}
	return list
}

// void crosses a label out from corner to corner.
func (r *Run) void(b geometry.Box) []draw.Item {
	var p draw.Path
	p.Append(draw.Segment(b.Min, b.Max))
	p.Append(draw.Segment(geometry.Position{Across: b.Min.Across, Around: b.Max.Around}, geometry.Position{Across: b.Max.Across, Around: b.Min.Around}))
	size := b.Size()
	return []draw.Item{draw.Stroke{Layer: draw.Data, Path: p, Width: min(size.Across, size.Around) / 20, Paint: draw.Solid(r.plan.Void)}}
}

// placed says which record an error of a frame is about.
func (r *Run) placed(job *frameJob, err error) error {
	if e, ok := err.(*stationError); ok {
		return r.plan.Records.Place(job.numbers[e.station], e.err)
	}
	return fmt.Errorf("frame %d: %w", job.frame+1, err)
}
