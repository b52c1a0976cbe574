package alike

import (
	"image"
	"image/draw"
)

// Column puts the pictures of where labels differ below each other, in the order of
// the pairs.
func Column(pairs []Pair) image.Image {
	var size image.Point
	const gap = 12
	for _, p := range pairs {
		b := p.Picture.Bounds()
		size.X, size.Y = max(size.X, b.Dx()), size.Y+b.Dy()+gap
	}
	out := image.NewRGBA(image.Rectangle{Max: size})
	draw.Draw(out, out.Rect, image.White, image.Point{}, draw.Src)
	y := 0
	for _, p := range pairs {
		b := p.Picture.Bounds()
		draw.Draw(out, b.Sub(b.Min).Add(image.Pt(0, y)), p.Picture, b.Min, draw.Src)
		y += b.Dy() + gap
	}
	return out
}
