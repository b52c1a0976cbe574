package main

import (
	"context"
	"fmt"

	"quoin/impose/alike"
	"quoin/impose/queue/spread"
	"quoin/impose/say"
)

// lookAlikes compares the labels of a job with several artworks. Where another
// order of lanes would part those that look alike, it is said: a job file's lanes
// are a person's choice.
func lookAlikes(ctx context.Context, im *imposed) ([]say.Note, error) {
	if len(im.frame.Pages) < 2 {
		return nil, nil
	}
	labels := make([]alike.Label, len(im.frame.Pages))
	for i, p := range im.frame.Pages {
		labels[i] = alike.Label{Page: p, Content: fmt.Sprintf("%s %d", p.File.Path, p.Number)}
	}
	f := alike.New()
	defer f.Close()
	pairs, err := f.Pairs(ctx, labels)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil && im.places != nil && spread.Machines(ctx, err) {
		return nil, err // another worker may do better
	}
	if err != nil {
		return []say.Note{alike.Failed(err)}, nil
	}
	if len(pairs) == 0 {
		return nil, nil
	}
	s, err := im.summary()
	if err != nil {
		return nil, err
	}
	var notes []say.Note
	for i := range pairs {
		n := pairs[i].Note([2][]int{s.Artworks[pairs[i].A].Lanes, s.Artworks[pairs[i].B].Lanes}, "")
		notes = append(notes, n)
	}
	return notes, nil
}
