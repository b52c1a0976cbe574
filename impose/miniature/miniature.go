// Package miniature draws a small picture of each label of a job, by which
// people match what they see on the press with what the sheet says.
package miniature

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	"io"
	"math"
	"sync"

	"quoin/impose"
	"quoin/impose/raster"
)

// Long is the longer side of a picture in pixels: 150 to the inch on a sheet
// that shows it an inch long.
const Long = 150

// Painter draws labels. Its renderer starts with the first, and one label is
// drawn once however many jobs print it. Several goroutines may use it.
type Painter struct {
	// Say tells a person of the renderer's first start, which takes a while.
	Say func(string)

	one      sync.Mutex
	renderer *raster.Renderer
	kept     map[[sha256.Size]byte]image.Image
}

// Labels returns a picture of each artwork of a job, upright, in the job's order.
func (p *Painter) Labels(ctx context.Context, im *impose.Imposition) ([]image.Image, error) {
	p.one.Lock()
	defer p.one.Unlock()
	list := make([]image.Image, len(im.Pages))
	for i, page := range im.Pages {
		var err error
		if list[i], err = p.label(ctx, im, i); err != nil {
			return nil, fmt.Errorf("a picture of %s: %w", page.Name(), err)
		}
	}
	return list, nil
}

func (p *Painter) label(ctx context.Context, im *impose.Imposition, i int) (image.Image, error) {
	var pdf bytes.Buffer
	if err := im.Pictures().Label(ctx, &pdf, i); err != nil {
		return nil, err
	}
	key := sha256.Sum256(pdf.Bytes())
	if img := p.kept[key]; img != nil {
		return img, nil
	}
	if p.renderer == nil {
		r, err := raster.New(ctx, p.Say)
		if err != nil {
			return nil, err
		}
		p.renderer, p.kept = r, map[[sha256.Size]byte]image.Image{}
	}
	size := im.LabelSize(i)
	dpi := Long * 25.4 / max(size.Across.MM(), size.Around.MM())
	img, err := p.renderer.Page(pdf.Bytes(), max(1, int(math.Round(dpi))))
	if err == nil {
		p.kept[key] = img
	}
	return img, err
}

// Close ends the renderer.
func (p *Painter) Close() {
	if p.renderer != nil {
		p.renderer.Close()
	}
}

// Strip puts pictures of labels beside each other on white, each in the middle of a
// square of Long pixels.
func Strip(labels []image.Image) image.Image {
	out := image.NewRGBA(image.Rect(0, 0, max(1, len(labels))*Long, Long))
	draw.Draw(out, out.Rect, image.White, image.Point{}, draw.Src)
	for i, label := range labels {
		b := label.Bounds()
		corner := image.Pt(i*Long+(Long-b.Dx())/2, (Long-b.Dy())/2)
		cell := image.Rect(i*Long, 0, (i+1)*Long, Long)
		at := image.Rectangle{corner, corner.Add(b.Size())}
		draw.Draw(out, at.Intersect(cell), label, b.Min.Add(at.Intersect(cell).Min.Sub(corner)), draw.Over)
	}
	return out
}

// JPEG writes a picture for people, which as PNG would be many times as long where
// labels have photographs: the same bytes for the same picture.
func JPEG(w io.Writer, img image.Image) error {
	return jpeg.Encode(w, img, &jpeg.Options{Quality: 80})
}
