package plate

import (
	"context"
	"image"
	"image/color"
	"image/draw"
	"math"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/raster"
)

const (
	around  = 2 * geometry.Millimetre // shown beyond the place
	showDPI = 400                     // of pictures: print of 4 points can be read
	parting = 16                      // pixels between the two labels in a picture
)

// Show draws the place where two labels differ, as Picture, if they do.
func (l *Likeness) Show(ctx context.Context, r *raster.Renderer, a, b *artwork.Page) error {
	if l.Place.Empty() {
		return nil
	}
	part := l.Place.Outset(around)
	part = part.Intersect(geometry.BoxAt(geometry.Position{}, a.Size()))
	var looks [2]*image.RGBA
	for i, p := range []*artwork.Page{a, b} {
		seen, err := see(ctx, r, p, part, showDPI)
		if err != nil {
			return err
		}
		looks[i] = paper(seen.grid)
		for k, plate := range seen.plates {
			overlay(looks[i], plate, seen.inks[k].CMYK)
		}
	}
	const pixel = geometry.Inch / showDPI
	at := func(v geometry.Length) int { return int(math.Round(float64(v) / float64(pixel))) }
	place := image.Rect(at(l.Place.Min.Across-part.Min.Across), at(l.Place.Min.Around-part.Min.Around), at(l.Place.Max.Across-part.Min.Across), at(l.Place.Max.Around-part.Min.Around))
	l.Picture = besides(looks, place)
	return nil
}

func paper(g Grid) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, g.Width, g.Height))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	return img
}

// overlay prints a plate on what is there, in the colour that the ink looks like.
func overlay(img *image.RGBA, plate *image.Gray, look [4]float64) {
	var keeps [3]float64
	for i := range keeps {
		keeps[i] = (1 - look[i]) * (1 - look[3])
	}
	for i, v := range plate.Pix {
		if v == 0 {
			continue
		}
		tint := float64(v) / 255
		for c, k := range keeps {
			img.Pix[4*i+c] = byte(float64(img.Pix[4*i+c])*(1-tint*(1-k)) + .5)
		}
	}
}

// besides shows a part of both labels, with the place framed.
func besides(look [2]*image.RGBA, place image.Rectangle) image.Image {
	const line, room = 3, 8 // of the frame, in pixels
	size := look[0].Rect.Union(look[1].Rect).Size()
	out := image.NewRGBA(image.Rect(0, 0, 2*size.X+parting, size.Y))
	draw.Draw(out, out.Rect, image.White, image.Point{}, draw.Src)
	red := image.NewUniform(color.RGBA{200, 0, 0, 255})
	for i, img := range look {
		at := image.Pt(i*(size.X+parting), 0)
		draw.Draw(out, img.Rect.Add(at), img, image.Point{}, draw.Src)
		in := place.Add(at).Inset(-room)
		edge := in.Inset(-line)
		for _, side := range []image.Rectangle{
			{edge.Min, image.Pt(edge.Max.X, in.Min.Y)}, {image.Pt(edge.Min.X, in.Max.Y), edge.Max},
			{edge.Min, image.Pt(in.Min.X, edge.Max.Y)}, {image.Pt(in.Max.X, edge.Min.Y), edge.Max},
		} {
			draw.Draw(out, side.Intersect(img.Rect.Add(at)), red, image.Point{}, draw.Src)
		}
	}
	return out
}
