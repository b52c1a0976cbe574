package build

import (
	"context"
	"fmt"
	"io"
	"slices"

	"quoin/impose"
	"quoin/impose/alike"
	"quoin/impose/miniature"
	"quoin/impose/night/plan"
	"quoin/impose/say"
)

// open imposes a run with look-alikes apart from each other where its lanes can
// stand in another order, and returns those that it has.
func (p *Piece) open(ctx context.Context) (*impose.Imposition, []alike.Pair, error) {
	im, err := p.openAs(ctx)
	if err != nil || p.Alike == nil || len(p.Job.Artworks) < 2 {
		return im, nil, err
	}
	pairs, err := p.Alike.Compare(ctx, im)
	if err != nil || len(pairs) == 0 || p.Mixed {
		return im, pairs, err
	}
	order := alike.Order(im, pairs)
	if order == nil {
		return im, pairs, nil
	}
	im.Close()
	artworks, remarks := slices.Clone(p.Job.Artworks), slices.Clone(p.Remarks)
	for i, from := range order {
		p.Job.Artworks[i], p.Remarks[i] = artworks[from], remarks[from]
	}
	for i := range pairs {
		p := &pairs[i]
		p.A, p.B = slices.Index(order, p.A), slices.Index(order, p.B)
		if p.A > p.B {
			p.A, p.B = p.B, p.A
		}
	}
	im, err = p.openAs(ctx)
	return im, pairs, err
}

func (p *Piece) openAs(ctx context.Context) (*impose.Imposition, error) {
	if err := p.Job.Validate(); err != nil {
		return nil, err
	}
	return impose.Open(ctx, p.Job)
}

// warn says which labels of a run look alike, and writes a picture of where each
// two differ.
func (p *Piece) warn(pairs []alike.Pair, write func(role, name string, fill func(io.Writer) error, checks ...func(string) error) error) ([]say.Note, error) {
	first, lane := make([][]int, len(p.Job.Artworks)), 1
	for i, a := range p.Job.Artworks {
		for range a.LaneCount {
			first[i] = append(first[i], lane)
			lane++
		}
	}
	var notes []say.Note
	for i := range pairs {
		pair, name := &pairs[i], AlikeName(p.Name, i)
		if err := write("look-alikes", name, func(w io.Writer) error { return miniature.JPEG(w, pair.Picture) }); err != nil {
			return nil, err
		}
		notes = append(notes, pair.Note(p.Job.Artworks, [2][]int{first[pair.A], first[pair.B]}, name))
	}
	return notes, nil
}

// AlikeName returns the name of the picture of the i-th two labels of a run, from 0,
// that look alike.
func AlikeName(run string, i int) string { return fmt.Sprintf("%s-alike-%d.jpg", run, i+1) }

// LabelsName returns the name of the picture of a run's labels beside each other, in
// the order of its orders.
func LabelsName(run string) string { return run + "-labels.jpg" }

// reordered puts a run's orders as an earlier start imposed them, by their titles.
func reordered(run *plan.Run, products []string) {
	if len(products) != len(run.Orders) {
		return
	}
	var out []plan.Share
	left := slices.Clone(run.Orders)
	for _, title := range products {
		i := slices.IndexFunc(left, func(s plan.Share) bool { return s.Title() == title })
		if i < 0 {
			return
		}
		out = append(out, left[i])
		left = slices.Delete(left, i, i+1)
	}
	run.Orders = out
}
