package main

import (
	"context"
	"fmt"
	"image/png"
	"io"
	"slices"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/alike"
	"quoin/impose/job"
	"quoin/impose/miniature"
	"quoin/impose/queue/spread"
	"quoin/impose/say"
)

// likes is what comparing the labels of a job found.
type likes struct {
	pairs  []alike.Pair
	order  []int // of the artworks from the left, in which fewer look-alikes are neighbours; nil: as they stand
	parted bool  // the lanes stand in that order
	failed error // why they were not compared
}

// compareLabels compares the labels of a job with several artworks. A job that says
// nothing of its lanes leaves them to the engine, which then parts those that look
// alike, if free; lanes that a job file gives are a person's choice and stay.
func (im *imposed) compareLabels(ctx context.Context, free bool) error {
	if len(im.frame.Pages) < 2 {
		return nil
	}
	labels := make([]alike.Label, len(im.frame.Pages))
	for i, p := range im.frame.Pages {
		labels[i] = alike.Label{Page: p, Content: fmt.Sprintf("%s %d", p.File.Path, p.Number)}
	}
	f := alike.New()
	defer f.Close()
	pairs, err := f.Pairs(ctx, labels)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil && im.places != nil && spread.Machines(ctx, err) {
		return err // another worker may do better
	}
	im.likes = likes{pairs: pairs, failed: err}
	if err != nil || len(pairs) == 0 {
		return nil
	}
	sizes := make([]geometry.Size, len(im.frame.Pages)) // lanes of one width stay together
	for i := range sizes {
		sizes[i] = im.frame.LabelSize(i)
	}
	order := alike.Apart(len(sizes), pairs, func(i int) int { return slices.Index(sizes, sizes[i]) })
	if slices.IsSorted(order) {
		return nil
	}
	im.likes.order = order
	if !free || len(slices.Compact(sizes)) > 1 || slices.ContainsFunc(im.frame.Job.Artworks, placed) {
		return nil
	}
	return im.part(order)
}

// placed reports whether a job says where on the frame an artwork stands.
func placed(a job.Artwork) bool { return a.LaneCount > 0 || len(a.LaneList) > 0 || a.StationCount > 0 }

// part imposes the job once more with its lanes in another order of the artworks,
// each of which keeps as many as it had.
func (im *imposed) part(order []int) error {
	s, err := im.summary()
	if err != nil {
		return err
	}
	j, next := im.frame.Job, 1
	for _, i := range order {
		for range s.Artworks[i].Lanes {
			j.Artworks[i].LaneList = append(j.Artworks[i].LaneList, next)
			next++
		}
	}
	parted, err := impose.Rework(im.frame)
	if err != nil {
		return err
	}
	im.frame, im.likes.parted = parted, true
	return nil
}

// lookAlikes says which labels look alike, and draws where they differ into a file,
// unless its name is empty.
func lookAlikes(im *imposed, picture string) ([]say.Note, error) {
	if im.likes.failed != nil {
		return []say.Note{alike.Failed(im.likes.failed)}, nil
	}
	pairs := im.likes.pairs
	if len(pairs) == 0 {
		return nil, nil
	}
	s, err := im.summary()
	if err != nil {
		return nil, err
	}
	var notes []say.Note
	for i := range pairs {
		notes = append(notes, pairs[i].Note([2][]int{s.Artworks[pairs[i].A].Lanes, s.Artworks[pairs[i].B].Lanes}, picture))
	}
	if im.likes.order != nil {
		var order []int
		for _, i := range im.likes.order {
			order = append(order, i+1)
		}
		names := say.List(say.Numbers(order))
		if im.likes.parted {
			notes[0].Text += "; the lanes stand in the order " + names + ", in which fewer that look alike are neighbours (give the artworks lanes to order them yourself)"
		} else {
			notes[0].Text += "; named in the order " + names + ", fewer that look alike are neighbours"
		}
	}
	if picture == "" {
		return notes, nil
	}
	return notes, im.writePart(part{"look-alikes", picture, func(w io.Writer) error {
		img := alike.Column(pairs)
		if isPNG(picture) {
			return png.Encode(w, img)
		}
		return miniature.JPEG(w, img)
	}})
}
