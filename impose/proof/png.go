package proof

import (
	"context"
	"image"
	"image/color"
	imagedraw "image/draw"
	"image/png"
	"io"

	"golang.org/x/image/draw"
	"golang.org/x/image/font"
	"golang.org/x/image/font/basicfont"
	"golang.org/x/image/math/fixed"

	"quoin/impose"
	"quoin/impose/raster"
)

// film is a clear film as a light table shows it, as the page's picture has it.
var film = color.NRGBA{189, 204, 209, 255}

// PNG writes a picture of the frame with its artworks, at so many pixels an inch.
// Colours lie over the white that is printed, and both on the web. Where white is
// printed they are put together from the plates, so that overprint is simulated;
// varnish is left out. A frame for the
// second surface is shown twice, as it is seen through the film and as the press
// prints it, each under its name.
func PNG(ctx context.Context, w io.Writer, im *impose.Imposition, dpi int, say func(string)) error {
	r, err := raster.New(ctx, say)
	if err != nil {
		return err
	}
	defer r.Close()
	seen := im.Pictures()
	if !seen.Film() && !im.Job.Mirror {
		var pdf raster.Draft
		defer pdf.Close()
		if err := seen.Colours(ctx, &pdf); err != nil {
			return err
		}
		return r.PNG(ctx, w, &pdf, dpi)
	}
	colours, white, err := lookOf(ctx, im, r, dpi,
		views{
			func(w io.Writer) error { return seen.Colours(ctx, w) },
			func(w io.Writer) error { return seen.Whole(ctx, w) },
			func(w io.Writer) error { return seen.White(ctx, w) },
		})
	if err != nil {
		return err
	}
	img := colours
	if im.Pictures().Film() {
		img = laid(colours, white)
	}
	if im.Job.Mirror {
		img = bothFaces(img, dpi)
	}
	return png.Encode(w, img)
}

// laid lays colours over white over film: inks take their share of the light
// away. White is where the picture of it is not clear.
func laid(colours, white image.Image) image.Image {
	b := colours.Bounds()
	out := image.NewNRGBA(b)
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			share := uint32(0)
			if white != nil {
				share = uint32(color.NRGBAModel.Convert(white.At(x, y)).(color.NRGBA).A)
			}
			over := color.NRGBAModel.Convert(colours.At(x, y)).(color.NRGBA)
			mix := func(ground, ink uint8) uint8 {
				g := (uint32(ground)*(255-share) + 255*share) / 255
				return uint8(g * uint32(ink) / 255)
			}
			out.SetNRGBA(x, y, color.NRGBA{mix(film.R, over.R), mix(film.G, over.G), mix(film.B, over.B), 255})
		}
	}
	return out
}

// The names of the two views of a second surface, here and on the page.
const (
	throughFilm = "AS SEEN THROUGH THE FILM"
	printedFace = "PRINTED FACE, AS THE PRESS PRINTS IT"
)

// bothFaces puts a picture, as it is seen through the film, and its mirror image
// beside each other, each under its name.
func bothFaces(seen image.Image, dpi int) image.Image {
	b := seen.Bounds()
	head, gap := max(16, dpi/5), max(8, dpi/10)
	out := image.NewNRGBA(image.Rect(0, 0, 2*b.Dx()+gap, b.Dy()+head))
	imagedraw.Draw(out, out.Bounds(), image.White, image.Point{}, imagedraw.Src)
	right := b.Dx() + gap
	imagedraw.Draw(out, image.Rect(0, head, b.Dx(), head+b.Dy()), seen, b.Min, imagedraw.Src)
	for y := range b.Dy() {
		for x := range b.Dx() {
			out.Set(right+b.Dx()-1-x, head+y, seen.At(b.Min.X+x, b.Min.Y+y))
		}
	}
	title(out, image.Rect(0, 0, b.Dx(), head), throughFilm)
	title(out, image.Rect(right, 0, right+b.Dx(), head), printedFace)
	return out
}

// title writes a text as large as it fits into a box.
func title(img *image.NRGBA, box image.Rectangle, text string) {
	face := basicfont.Face7x13
	small := image.NewNRGBA(image.Rect(0, 0, face.Advance*len(text), face.Height))
	d := font.Drawer{Dst: small, Src: image.Black, Face: face, Dot: fixed.P(0, face.Ascent)}
	d.DrawString(text)
	wide, high := small.Bounds().Dx(), small.Bounds().Dy()
	scale := min(float64(box.Dx())/float64(wide), float64(box.Dy())/float64(high))
	to := image.Rectangle{Min: box.Min, Max: box.Min.Add(image.Pt(int(scale*float64(wide)), int(scale*float64(high))))}
	draw.BiLinear.Scale(img, to, small, small.Bounds(), draw.Over, nil)
}
