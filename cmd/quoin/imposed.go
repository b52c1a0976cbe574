package main

import (
	"context"
	"io"

	"quoin/impose"
	"quoin/impose/alike"
	"quoin/impose/plate"
	"quoin/impose/summary"
)

// imposed is an imposition with what was written of it so far.
type imposed struct {
	frame   *impose.Imposition
	written impose.Written
	again   []summary.Again // of a job that is printed again
	likes   *alike.Found
	// places, where the work was handed over, says where each output is written
	// that the command line names.
	places map[string]string
}

// place returns where an output is written.
func (im *imposed) place(path string) string {
	if im.places == nil {
		return path
	}
	return im.places[path] // "" for what nobody asked for, which no file can be
}

// writePDF writes the frame.
func (im *imposed) writePDF(ctx context.Context, w io.Writer) error {
	err := im.frame.WritePDF(ctx, w)
	if err == nil {
		im.written.Pages = 1
	}
	return err
}

// plates draws the plates of the labels where that was asked for, or where the
// job or its press says what to look for: it adds up the frame's ink, and finds
// what is wrong.
func (im *imposed) plates(ctx context.Context, asked bool, say func(string)) (err error) {
	press := im.frame.Job.Press
	count := asked || press != nil && press.InkUse.Known()
	look := asked || impose.WantsPlates(im.frame)
	if !count && !look {
		return nil
	}
	say("drawing the plates")
	meter := plate.Meter{Say: say, Cache: plate.UserCache()}
	defer meter.Close()
	if count {
		if im.written.Ink, err = im.frame.InkOnFrame(ctx, meter.Measure); err != nil {
			return err
		}
	}
	if look {
		im.written.Plates, err = impose.LookAtPlates(ctx, im.frame, meter.Find)
	}
	return err
}

// wrote adds a written file to the summary.
func (im *imposed) wrote(role, path, sha256 string) {
	im.written.Files = append(im.written.Files, summary.File{Role: role, Path: path, SHA256: sha256})
}

// summary returns what there is to say by now.
func (im *imposed) summary() (*summary.Summary, error) {
	s, err := im.frame.Summary(im.written)
	if err == nil {
		s.Again = im.again
	}
	return s, err
}
