package main

import (
	"bytes"
	"context"
	"image"

	"quoin/impose"
	"quoin/impose/ink"
	"quoin/impose/raster"
	"quoin/impose/say"
	"quoin/impose/thrift"
	"quoin/impose/vary"
)

// contrastDPI is fine enough to find the ground of a symbol.
const contrastDPI = 150

// clear is a contrast, of flat grounds, that no difference between two ways to show
// an ink on a screen takes below what is fair.
const clear = 0.60

// contrast compares the symbols with each artwork that they stand on. A ground of one
// colour is known from the artwork's content; others, and those that come near to
// being too dark, are drawn, which takes 35 MB of memory.
func contrast(ctx context.Context, im *impose.Imposition, run *vary.Run, told func(string)) (say.Notes, error) {
	look := func(name string) [3]float64 {
		e, _ := im.Inks.Find(name)
		return ink.RGB(e.CMYK)
	}
	boxes, artworks := run.Symbols()
	if len(boxes) == 0 {
		return nil, nil
	}
	size := im.LabelSize(0)
	var all say.Notes
	var drawn []int
	for _, art := range artworks {
		lights := make([]vary.Light, len(boxes))
		flat := true
		for i, g := range im.Artwork(art).Ground(size, boxes) {
			flat = flat && g.Flat
			lights[i] = vary.Flat(g.Look)
		}
		if !flat || !run.Clear(lights, look, clear) {
			drawn = append(drawn, art)
		}
	}
	if len(drawn) == 0 {
		return nil, nil
	}
	thrift.Release()
	renderer, err := raster.New(ctx, told)
	if err != nil {
		return nil, err
	}
	defer renderer.Close()
	for _, art := range drawn {
		picture, err := labelPicture(ctx, im, renderer, art)
		if err != nil {
			return nil, err
		}
		lights := make([]vary.Light, len(boxes))
		for i, box := range boxes {
			lights[i] = vary.LightOf(picture, size, im.Layout.Bleed, box)
		}
		notes, err := run.Contrast(lights, look)
		all = append(all, notes...)
		if err != nil {
			return all, err
		}
	}
	return all, nil
}

// labelPicture draws a label without its fields.
func labelPicture(ctx context.Context, im *impose.Imposition, renderer *raster.Renderer, art int) (image.Image, error) {
	var pdf bytes.Buffer
	if err := im.Pictures().Label(ctx, &pdf, art); err != nil {
		return nil, err
	}
	return renderer.Page(pdf.Bytes(), contrastDPI)
}
