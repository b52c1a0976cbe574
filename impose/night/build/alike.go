package build

import (
	"context"
	"fmt"
	"image/png"
	"io"
	"slices"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/alike"
	"quoin/impose/night/plan"
	"quoin/impose/summary"
)

// open imposes a run with look-alikes apart from each other where its lanes can
// stand in another order, and returns those that it has.
func (b *builder) open(ctx context.Context, run *plan.Run) (*impose.Imposition, []alike.Pair, error) {
	im, err := b.openAs(ctx, run)
	if err != nil || b.rules.NoAlike || len(run.Orders) < 2 {
		return im, nil, err
	}
	pairs, err := b.pairs(ctx, im, run)
	if err != nil || len(pairs) == 0 || b.rules.Mixed {
		return im, pairs, err
	}
	var sizes []geometry.Size // lanes of one width stay together
	for i := range im.Pages {
		sizes = append(sizes, im.LabelSize(i))
	}
	order := alike.Apart(len(run.Orders), pairs, func(i int) int { return slices.Index(sizes, sizes[i]) })
	if slices.IsSorted(order) {
		return im, pairs, nil
	}
	im.Close()
	old := slices.Clone(run.Orders)
	for i, from := range order {
		run.Orders[i] = old[from]
	}
	for i := range pairs {
		p := &pairs[i]
		p.A, p.B = slices.Index(order, p.A), slices.Index(order, p.B)
		if p.A > p.B {
			p.A, p.B = p.B, p.A
		}
	}
	im, err = b.openAs(ctx, run)
	return im, pairs, err
}

func (b *builder) openAs(ctx context.Context, run *plan.Run) (*impose.Imposition, error) {
	j := b.plan.Job(run)
	if err := j.Validate(); err != nil {
		return nil, err
	}
	return impose.Open(ctx, j)
}

// pairs compares the labels of a run.
func (b *builder) pairs(ctx context.Context, im *impose.Imposition, run *plan.Run) ([]alike.Pair, error) {
	labels := make([]alike.Label, len(run.Orders))
	for i, s := range run.Orders {
		labels[i] = alike.Label{Page: im.Pages[i], Content: fmt.Sprintf("%s %s %d", s.SHA256, s.Artwork, s.Page)}
		if s.SHA256 != "" {
			labels[i].Content = fmt.Sprintf("%s %d", s.SHA256, s.Page)
		}
	}
	return b.alike.Pairs(ctx, labels)
}

// warn says which labels of a run look alike, and writes a picture of where each
// two differ.
func (b *builder) warn(run *plan.Run, pairs []alike.Pair, write func(role, name string, fill func(io.Writer) error, checks ...func(string) error) error) ([]summary.Note, error) {
	first, lane := make([][]int, len(run.Orders)), 1
	for i, s := range run.Orders {
		for range s.Lanes {
			first[i] = append(first[i], lane)
			lane++
		}
	}
	var notes []summary.Note
	for i := range pairs {
		p, name := &pairs[i], alikeOf(run, i)
		if err := write("look-alikes", name, func(w io.Writer) error { return png.Encode(w, p.Picture) }); err != nil {
			return nil, err
		}
		notes = append(notes, p.Note([2][]int{first[p.A], first[p.B]}, name))
	}
	return notes, nil
}

func alikeOf(run *plan.Run, i int) string { return fmt.Sprintf("%s-alike-%d.png", run.Name, i+1) }

// reordered puts a run's orders as an earlier start imposed them, by their titles.
func reordered(run *plan.Run, products []string) {
	if len(products) != len(run.Orders) {
		return
	}
	var out []plan.Share
	for _, title := range products {
		i := slices.IndexFunc(run.Orders, func(s plan.Share) bool { return s.Title() == title })
		if i < 0 {
			return
		}
		out = append(out, run.Orders[i])
	}
	run.Orders = out
}
