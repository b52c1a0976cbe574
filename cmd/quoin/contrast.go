package main

import (
	"bytes"
	"context"

	"quoin/impose"
	"quoin/impose/ink"
	"quoin/impose/raster"
	"quoin/impose/say"
	"quoin/impose/vary"
)

// contrastDPI is fine enough to find the ground of a symbol.
const contrastDPI = 150

// contrast draws the label without its fields and compares the symbols with what
// is beneath them. Runs without symbols need no renderer.
func contrast(ctx context.Context, im *impose.Imposition, run *vary.Run, told func(string)) ([]say.Note, error) {
	symbols := false
	for _, f := range im.Job.Fields {
		symbols = symbols || f.Symbol != ""
	}
	if !symbols {
		return nil, nil
	}
	renderer, err := raster.New(ctx, told)
	if err != nil {
		return nil, err
	}
	defer renderer.Close()
	var pdf bytes.Buffer
	if err := im.Pictures().Label(ctx, &pdf, 0); err != nil {
		return nil, err
	}
	label, err := renderer.Page(pdf.Bytes(), contrastDPI)
	if err != nil {
		return nil, err
	}
	notes, err := run.Contrast(label, im.Layout.Bleed, func(name string) [3]float64 {
		e, _ := im.Inks.Find(name)
		return ink.RGB(e.CMYK)
	})
	var list []say.Note
	for _, n := range notes {
		list = append(list, say.Note(n))
	}
	return list, err
}
