package witness

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
)

// Tolerance says what Compare forgives. The zero value forgives nothing.
type Tolerance struct {
	// Over is the largest channel difference (of 255) that isn't counted in
	// Difference.Share and Difference.Where.
	Over int
	// Reach forgives edges: a channel counts as equal when it lies within the
	// range of the other picture's pixels at most Reach away, and the other
	// way round. It is for shapes that fall between pixels in one of the two;
	// 1 hides a shift by one pixel, so placement needs its own check.
	Reach int
}

// Difference is what sets two pictures apart. All but Pixels and Share are
// in steps of 255, over the red, green and blue channels.
type Difference struct {
	Largest int             // of any channel
	Mean    float64         // over all channels of all pixels
	Share   float64         // of pixels with a channel over Tolerance.Over, 0..1
	Pixels  int             // compared
	Where   image.Rectangle // bounds of the pixels counted in Share
}

func (d Difference) String() string {
	return fmt.Sprintf("largest %d, mean %.3f, %.4f %% of %d pixels differ, within %v",
		d.Largest, d.Mean, 100*d.Share, d.Pixels, d.Where)
}

// Compare compares two pictures pixel by pixel from their top left corners.
//
// Renderers round a page of a broken number of pixels up or down, so a size
// that differs by one pixel is accepted and the overlap compared; sizes
// further apart are wholly different: Share 1, Largest 255.
func Compare(a, b image.Image, forgive Tolerance) Difference {
	w, h := min(a.Bounds().Dx(), b.Bounds().Dx()), min(a.Bounds().Dy(), b.Bounds().Dy())
	whole := image.Rect(0, 0, w, h)
	if apart(a.Bounds().Dx(), b.Bounds().Dx()) || apart(a.Bounds().Dy(), b.Bounds().Dy()) || whole.Empty() {
		return Difference{Largest: 255, Mean: 255, Share: 1, Pixels: w * h, Where: a.Bounds().Union(b.Bounds())}
	}
	pa, pb := onWhite(a, whole), onWhite(b, whole)
	d := Difference{Pixels: w * h}
	sum, counted := 0, 0
	for y := range h {
		rowA, rowB := pa.Pix[pa.PixOffset(0, y):][:4*w], pb.Pix[pb.PixOffset(0, y):][:4*w]
		if bytes.Equal(rowA, rowB) {
			continue // most rows are, and a frame has many
		}
		for x := range w {
			if [4]byte(rowA[4*x:]) == [4]byte(rowB[4*x:]) {
				continue
			}
			most := 0
			for c := range 3 {
				v := max(beyond(pa, pb, x, y, c, forgive.Reach), beyond(pb, pa, x, y, c, forgive.Reach))
				most = max(most, v)
				sum += v
			}
			d.Largest = max(d.Largest, most)
			if most > forgive.Over {
				counted++
				d.Where = d.Where.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	d.Mean = float64(sum) / float64(3*w*h)
	d.Share = float64(counted) / float64(w*h)
	return d
}

// beyond is how far a channel of p lies outside the range of q's channel in
// the neighbourhood.
func beyond(p, q *image.RGBA, x, y, channel, reach int) int {
	v := int(p.Pix[p.PixOffset(x, y)+channel])
	low, high := 255, 0
	for ny := max(0, y-reach); ny <= min(q.Rect.Max.Y-1, y+reach); ny++ {
		for nx := max(0, x-reach); nx <= min(q.Rect.Max.X-1, x+reach); nx++ {
			n := int(q.Pix[q.PixOffset(nx, ny)+channel])
			low, high = min(low, n), max(high, n)
		}
	}
	return max(0, low-v, v-high)
}

// onWhite is a picture as it prints on white stock.
func onWhite(img image.Image, r image.Rectangle) *image.RGBA {
	out := image.NewRGBA(r)
	draw.Draw(out, r, image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.Draw(out, r, img, img.Bounds().Min, draw.Over)
	return out
}

func apart(a, b int) bool { return a-b > 1 || b-a > 1 }
