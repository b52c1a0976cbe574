package impose

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/contour"
	"quoin/impose/job"
	"quoin/impose/say"
)

// LabelOutline returns the cut of an upright label of the size, its box at the
// origin, as the job says its shape. A file that can't be used is a
// refusal of the kind BadFile, a size that the shape can't have a *geometry.NotFitError. Where
// it is the artwork's die line, SurveyArtworks knows it.
func LabelOutline(j *job.Job, label geometry.Size) (outline.Outline, error) {
	radius := geometry.Length(0)
	if j.Radius != nil {
		radius = *j.Radius
	}
	if j.Outline == job.ArtworkOutline {
		return outline.Outline{}, say.Refuse(say.BadFile, "name an artwork, or a file with the contour", "outline %s: there is no artwork to take the die line from", j.Outline)
	}
	return shaped(j.Shape, label, radius, j.Path(j.Outline))
}

// labelCut is LabelOutline, but knows the artworks' die lines.
func labelCut(in *Sources, label geometry.Size) (cut outline.Outline, said remarks, err error) {
	if in.Job.Outline == job.ArtworkOutline {
		return drawnOutline(in, label)
	}
	cut, err = LabelOutline(in.Job, label)
	return cut, said, err
}

// dieCut returns the cut of an upright label that a die cuts, which stands on the
// web with the turn.
func dieCut(j *job.Job, d *geometry.Die, turn geometry.Turn) (outline.Outline, error) {
	o, err := shaped(d.Shape, d.Size, d.Radius, j.Dies.Path(d.Outline))
	if err != nil {
		return o, err
	}
	// A die's contour stands as on the web.
	return o.Turned((4 - turn) % 4).At(geometry.Position{}), nil
}

func shaped(s geometry.Shape, size geometry.Size, radius geometry.Length, path string) (outline.Outline, error) {
	switch s {
	case geometry.ShapeCircle:
		if near(size.Across, size.Around) {
			return outline.Circle(size.Across)
		}
		return outline.Outline{}, &geometry.NotFitError{Reasons: []geometry.Reason{{Code: codeCircle,
			Text: fmt.Sprintf("a label of %s is no circle", size), Nearest: "say ellipse, or the diameter twice"}}}
	case geometry.ShapeEllipse:
		return outline.Ellipse(size)
	case geometry.ShapeOutline:
		return readOutline(path, size)
	}
	o, err := outline.Rectangle(size, radius)
	if err != nil {
		err = &geometry.NotFitError{Reasons: []geometry.Reason{{Code: geometry.CodeRadius, Text: err.Error()}}}
	}
	return o, err
}

// readOutline reads a contour, which must be of the label's size.
func readOutline(path string, size geometry.Size) (outline.Outline, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return outline.Outline{}, &say.Refusal{Kind: say.BadFile, Text: path, Err: errors.Unwrap(err), Way: "paths are relative to the file that names them"}
	}
	read := contour.ReadDXF
	if strings.EqualFold(filepath.Ext(path), ".svg") {
		read = contour.ReadSVG
	}
	drawing, err := read(bytes.NewReader(data), contour.Options{})
	if err != nil {
		// DXF R12 has no unit. Millimetres are tried: a drawing in another one is
		// not of the label's size.
		if mm, again := read(bytes.NewReader(data), contour.Options{Unit: geometry.Millimetre}); again == nil {
			drawing, err = mm, nil
		}
	}
	if err != nil {
		return outline.Outline{}, &say.Refusal{Kind: say.BadFile, Text: path, Err: err}
	}
	box := drawing.Outline.Bounds().Size()
	if !near(box.Across, size.Across) || !near(box.Around, size.Around) {
		return outline.Outline{}, say.Refuse(say.BadFile, "correct the drawing's scale, or the label size",
			"%s: its contour of %s is not the label of %s", path, box, size)
	}
	return drawing.Outline, nil
}
