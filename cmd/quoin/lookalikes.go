package main

import (
	"context"
	"fmt"
	"image/png"
	"io"
	"slices"

	"quoin/geometry"
	"quoin/impose/alike"
	"quoin/impose/miniature"
	"quoin/impose/queue/spread"
	"quoin/impose/say"
)

// lookAlikes compares the labels of a job with several artworks, and draws where they
// differ into a file, unless its name is empty. A job file's lanes are a person's
// choice: where another order of the artworks would part labels that look alike, it is
// said and not done.
func lookAlikes(ctx context.Context, im *imposed, picture string) ([]say.Note, error) {
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
		notes = append(notes, pairs[i].Note([2][]int{s.Artworks[pairs[i].A].Lanes, s.Artworks[pairs[i].B].Lanes}, picture))
	}
	sizes := make([]geometry.Size, len(im.frame.Pages)) // lanes of one width stay together
	for i := range sizes {
		sizes[i] = im.frame.LabelSize(i)
	}
	if order := alike.Apart(len(sizes), pairs, func(i int) int { return slices.Index(sizes, sizes[i]) }); !slices.IsSorted(order) {
		for i := range order {
			order[i]++
		}
		notes[0].Text += "; named in the order " + say.List(say.Numbers(order)) + ", fewer that look alike are neighbours"
	}
	if picture == "" {
		return notes, nil
	}
	return notes, writePart(im, "look-alikes", picture, func(w io.Writer) error {
		img := alike.Column(pairs)
		if isPNG(picture) {
			return png.Encode(w, img)
		}
		data, err := miniature.JPEG(img)
		if err == nil {
			_, err = w.Write(data)
		}
		return err
	})
}
