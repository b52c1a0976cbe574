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
// origin, as the job says its shape, and what to say of the drawing that it was
// read from. A file that can't be used is a refusal of the
// kind BadFile, a size that the shape
// can't have a *geometry.NotFitError. Where it is the artwork's die line,
// SurveyArtworks knows it.
func LabelOutline(j *job.Job, label geometry.Size) (outline.Outline, []say.Note, error) {
	radius := geometry.Length(0)
	if j.Radius != nil {
		radius = *j.Radius
	}
	if j.Outline == job.ArtworkOutline {
		return outline.Outline{}, nil, say.Refuse(say.BadFile, "name an artwork, or a file with the contour", "outline %s: there is no artwork to take the die line from", j.Outline)
	}
	if j.Shape != geometry.ShapeOutline {
		cut, err := shaped(j, j.Shape, label, radius, "")
		return cut, nil, err
	}
	d, err := readDrawing(j, j.Path(j.Outline), j.OutlineLayer, label)
	if err != nil {
		return outline.Outline{}, nil, err
	}
	var said remarks
	said.note(codeOutlineTaken, "%s: taken as the cut: %s", j.Outline, d.Taken())
	if left := d.Left(); left != "" {
		said.note(codeOutlineLeft, "%s: left out: %s", j.Outline, left)
	}
	return d.Outline, said.notes, nil
}

// labelCut is LabelOutline, but knows the artworks' die lines.
func labelCut(in *Sources, label geometry.Size) (cut outline.Outline, said remarks, err error) {
	if in.Job.Outline == job.ArtworkOutline {
		return drawnOutline(in, label)
	}
	cut, said.notes, err = LabelOutline(in.Job, label)
	return cut, said, err
}

// dieCut returns the cut of an upright label that a die cuts, which stands on the
// web with the turn.
func dieCut(j *job.Job, d *geometry.Die, turn geometry.Turn) (outline.Outline, error) {
	o, err := shaped(j, d.Shape, d.Size, d.Radius, j.Dies.Path(d.Outline))
	if err != nil {
		return o, err
	}
	// A die's contour stands as on the web.
	return o.Turned((4 - turn) % 4).At(geometry.Position{}), nil
}

func shaped(j *job.Job, s geometry.Shape, size geometry.Size, radius geometry.Length, path string) (outline.Outline, error) {
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
		d, err := readDrawing(j, path, "", size)
		if err != nil {
			return outline.Outline{}, err
		}
		return d.Outline, nil
	}
	o, err := outline.Rectangle(size, radius)
	if err != nil {
		err = &geometry.NotFitError{Reasons: []geometry.Reason{{Code: geometry.CodeRadius, Text: err.Error()}}}
	}
	return o, err
}

// readDrawing reads a contour, which must be of the label's size, from a layer of
// a drawing or from all of it.
func readDrawing(j *job.Job, path, layer string, size geometry.Size) (*contour.Drawing, error) {
	data, err := os.ReadFile(j.Lies(path))
	if err != nil {
		return nil, &say.Refusal{Kind: say.BadFile, Text: path, Err: errors.Unwrap(err), Way: "paths are relative to the file that names them"}
	}
	read := contour.ReadDXF
	if ext := strings.ToLower(filepath.Ext(path)); ext == ".svg" || ext == ".svgz" {
		read = contour.ReadSVG
	}
	drawing, err := read(bytes.NewReader(data), contour.Options{Only: layer})
	if err != nil {
		// DXF R12 has no unit. Millimetres are tried: a drawing in another one is
		// not of the label's size.
		if mm, again := read(bytes.NewReader(data), contour.Options{Only: layer, Unit: geometry.Millimetre}); again == nil {
			drawing, err = mm, nil
		}
	}
	if err != nil {
		return nil, &say.Refusal{Kind: say.BadFile, Text: path, Err: err}
	}
	box := drawing.Outline.Bounds().Size()
	if !near(box.Across, size.Across) || !near(box.Around, size.Around) {
		way := "correct the drawing's scale, or the label size"
		if len(drawing.Layers) > 1 {
			way += ", or name the layer of the cut (outline-layer): the contours are on " + say.List(drawing.Layers)
		}
		return nil, say.Refuse(say.BadFile, way, "%s: its contour of %s is not the label of %s", path, box, size)
	}
	return drawing, nil
}
