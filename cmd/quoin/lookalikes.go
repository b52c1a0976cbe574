package main

import (
	"context"
	"image/png"
	"io"

	"quoin/impose/alike"
	"quoin/impose/miniature"
	"quoin/impose/queue/spread"
	"quoin/impose/say"
)

// compareLabels compares the labels of a job with several artworks, and parts those
// that look alike; where they are held, the lanes stay.
func (im *imposed) compareLabels(ctx context.Context, held bool) error {
	f := alike.New()
	defer f.Close()
	frame, found, err := alike.Part(ctx, f, im.frame, held)
	if err != nil {
		return err
	}
	im.frame, im.likes = frame, found
	if found.Failed != nil && im.places != nil && spread.Machines(ctx, found.Failed) {
		return found.Failed // another worker may do better
	}
	return nil
}

// lookAlikes says which labels look alike, and draws where they differ into a file,
// unless its name is empty.
func lookAlikes(im *imposed, picture string) ([]say.Note, error) {
	notes := im.likes.Notes(im.frame, picture)
	if picture == "" || len(im.likes.Pairs) == 0 {
		return notes, nil
	}
	return notes, im.writePart(part{"look-alikes", picture, func(w io.Writer) error {
		img := alike.Column(im.likes.Pairs)
		if isPNG(picture) {
			return png.Encode(w, img)
		}
		return miniature.JPEG(w, img)
	}})
}
