package proof

import (
	"context"
	"fmt"
	"image"
	"image/color"
	"io"
	"os"
	"path/filepath"

	"quoin/impose"
	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
	"quoin/impose/plate"
	"quoin/impose/raster"
)

// separated is a picture put together from its plates, so that what overprints is
// seen as it prints.
type separated struct {
	colours *image.NRGBA // on white
	white   *image.Gray  // how much white stands there: 255 is solid
	// exact reports whether the plates are the press's; else the colours are better
	// taken from the renderer, which knows RGB and the like.
	exact bool
}

// separate draws the plates of page 1 of what is written and puts them together.
// Varnish is clear, and technical inks are unseen.
func separate(ctx context.Context, im *impose.Imposition, r *raster.Renderer, dpi int, write func(io.Writer) error) (*separated, error) {
	dir, err := os.MkdirTemp("", "quoin-proof-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "page.pdf")
	f, err := os.Create(path)
	if err != nil {
		return nil, err
	}
	err = write(f)
	if e := f.Close(); err == nil {
		err = e
	}
	if err != nil {
		return nil, err
	}
	doc, err := artwork.Open(path, artwork.Options{PDF: pdfobj.Limits{Context: ctx}, Long: true})
	if err != nil {
		return nil, err
	}
	defer doc.Close()
	page, err := doc.Page(1)
	if err != nil {
		return nil, err
	}
	set := plate.New(page, r, plate.Options{DPI: float64(dpi), Box: page.Boxes.Media})
	out := newSeparated(set.Grid.Width, set.Grid.Height)
	known := func(k plate.Ink) ink.Ink {
		if e, ok := im.Inks.Find(k.Name); ok {
			return e.Ink
		}
		return k.Ink
	}
	inks := set.Those(func(k plate.Ink) bool { return known(k).Kind.Prints() && known(k).Kind != ink.Varnish })
	err = set.Draw(ctx, inks, func(i int, b plate.Band) error {
		out.lay(known(set.Inks[i]), b)
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("the plate of %w", err)
	}
	out.exact = len(set.Approximate()) == 0
	return out, nil
}

func newSeparated(width, height int) *separated {
	box := image.Rect(0, 0, width, height)
	s := &separated{image.NewNRGBA(box), image.NewGray(box), false}
	for i := range s.colours.Pix {
		s.colours.Pix[i] = 255
	}
	return s
}

// lay prints some rows of an ink's plate: white on the web, colours in which each
// ink takes its share of the light.
func (s *separated) lay(k ink.Ink, b plate.Band) {
	start := b.Y * b.Width
	if k.Kind == ink.White {
		for i, tint := range b.Pixels {
			s.white.Pix[start+i] = max(s.white.Pix[start+i], tint)
		}
		return
	}
	var looks [256][3]uint32
	for tint := range looks {
		var part [4]float64
		for c, v := range k.CMYK {
			part[c] = v * float64(tint) / 255
		}
		for c, v := range ink.RGB(part) {
			looks[tint][c] = uint32(v*255 + .5)
		}
	}
	for i, tint := range b.Pixels {
		if tint == 0 {
			continue
		}
		pixel := s.colours.Pix[4*(start+i):]
		for c, share := range looks[tint] {
			pixel[c] = uint8((uint32(pixel[c])*share + 127) / 255)
		}
	}
}

// underprint adds the white of a picture in which it is black. The picture may
// be a pixel larger or smaller.
func (s *separated) underprint(black image.Image) {
	for y := range s.white.Rect.Dy() {
		for x := range s.white.Rect.Dx() {
			at := y*s.white.Stride + x
			grey := uint8(255)
			if p := black.Bounds().Min.Add(image.Pt(x, y)); p.In(black.Bounds()) {
				grey = color.GrayModel.Convert(black.At(p.X, p.Y)).(color.Gray).Y
			}
			s.white.Pix[at] = max(s.white.Pix[at], 255-grey)
		}
	}
}

// whiteAlone is white where white stands, and clear elsewhere.
func (s *separated) whiteAlone() image.Image {
	out := image.NewNRGBA(s.white.Rect)
	for i, tint := range s.white.Pix {
		x, y := i%s.white.Stride, i/s.white.Stride
		out.SetNRGBA(x, y, color.NRGBA{255, 255, 255, tint})
	}
	return out
}
