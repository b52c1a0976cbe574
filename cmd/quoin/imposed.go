package main

import (
	"context"
	"io"

	"quoin/impose"
	"quoin/impose/plate"
	"quoin/impose/summary"
)

// imposed is an imposition with what was written of it so far.
type imposed struct {
	*impose.Imposition
	written impose.Written
	again   []summary.Again // of a job that is printed again
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
	err := im.WritePDF(ctx, w)
	if err == nil {
		im.written.Pages = 1
	}
	return err
}

// measureInk draws the plates of the labels and adds up the frame's ink.
func (im *imposed) measureInk(ctx context.Context, say func(string)) (err error) {
	meter := plate.Meter{Say: say, Cache: plate.UserCache()}
	defer meter.Close()
	im.written.Ink, err = im.InkOnFrame(ctx, meter.Measure)
	return err
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
