package main

import (
	"context"
	"fmt"
	"io"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/artwork"
	"quoin/impose/plate"
	"quoin/impose/summary"
)

// imposed is an imposition with what was written of it so far.
type imposed struct {
	*impose.Imposition
	written impose.Written
	again   []summary.Again // of a job that is printed again
}

// writePDF writes the frame.
func (im *imposed) writePDF(ctx context.Context, w io.Writer) error {
	err := im.WritePDF(ctx, w)
	if err == nil {
		im.written.Pages = 1
	}
	return err
}

// measureInk draws the plates of the labels and adds up the frame's ink; look
// has it find what is amiss on them too.
func (im *imposed) measureInk(ctx context.Context, look bool, say func(string)) (err error) {
	meter := plate.Meter{Say: say, Cache: plate.UserCache()}
	defer meter.Close()
	if im.written.Ink, err = im.InkOnFrame(ctx, meter.Measure); err != nil || !look {
		return err
	}
	opt := plate.CoverageOptions{Limit: im.Job.InkLimit(), Cache: meter.Cache}
	if press := im.Job.Press; press != nil {
		opt.FromCut = fromCut(press.FromCut)
	}
	seen := map[*artwork.Page]bool{}
	for _, page := range im.Pages {
		var found []artwork.Finding
		if !seen[page] {
			seen[page] = true
			c, err := meter.Coverage(ctx, page, opt)
			if err != nil {
				return fmt.Errorf("%s: %w", page.Name(), err)
			}
			found = c.Found
		}
		im.written.Plates = append(im.written.Plates, found)
	}
	return nil
}

// fromCut gives a press's least distance from the cut as plate.Coverage takes it.
func fromCut(rule *geometry.Length) geometry.Length {
	switch {
	case rule == nil:
		return 0
	case *rule == 0:
		return -1
	}
	return *rule
}

// wrote adds a written file to the summary.
func (im *imposed) wrote(role, path, sha256 string) {
	im.written.Files = append(im.written.Files, summary.File{Role: role, Path: path, SHA256: sha256})
}

// summary returns what there is to say by now.
func (im *imposed) summary() (*summary.Summary, error) {
	s, err := im.Summary(im.written)
	if err == nil {
		s.Again = im.again
	}
	return s, err
}
