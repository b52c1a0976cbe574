package photo

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"

	"quoin/impose/say"
)

// raster is a picture as it goes into a PDF.
type raster struct {
	width, height int
	colours       int    // components: 1, 3 or 4
	bits          int    // of a component
	samples       []byte // in rows that begin with a byte; JPEG data with coded
	alpha         []byte // a byte for each pixel; nil where all is opaque
	coded         bool   // samples are JPEG data
	inverted      bool   // 255 is no ink
	plainRGB      bool   // JPEG data that hold RGB itself
	profile       []byte // ICC; nil for none
}

const resave = "save the picture again as PNG or JPEG"

// decode reads a PNG or JPEG whole: what is cut off or damaged is refused.
func decode(data []byte) (*raster, error) {
	isPNG := bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n"))
	if !isPNG && !bytes.HasPrefix(data, []byte("\xff\xd8\xff")) {
		return nil, say.Refuse(say.Artwork, resave+", or give a page of a PDF", "the picture is neither PNG nor JPEG")
	}
	read, config := jpeg.Decode, jpeg.DecodeConfig
	if isPNG {
		read, config = png.Decode, png.DecodeConfig
	}
	c, err := config(bytes.NewReader(data))
	if err == nil && int64(c.Width)*int64(c.Height) > mostPixels {
		return nil, say.Refuse(say.Artwork, "save the picture smaller", "the picture has %d x %d pixels", c.Width, c.Height)
	}
	var img image.Image
	if err == nil {
		img, err = read(bytes.NewReader(data))
	}
	if err != nil {
		return nil, &say.Refusal{Kind: say.Artwork, Way: resave, Text: "the picture is damaged, or of a kind that can't be read", Err: err}
	}
	if c.Width < 1 || c.Height < 1 {
		return nil, say.Refuse(say.Artwork, resave, "the picture has no pixels")
	}
	r := &raster{width: c.Width, height: c.Height, bits: 8}
	if isPNG {
		r.fromPNG(img)
		r.profile, err = pngProfile(data)
	} else {
		err = r.fromJPEG(img, data)
	}
	if r.profile != nil && !profileFits(r.profile, r.colours) {
		return nil, say.Refuse(say.Artwork, "save the picture again with a profile of its own colour space, or without one", "the picture's profile is for other colours than the picture has")
	}
	return r, err
}

// fromPNG takes the pixels over: in grey where all are, in a bit where they are
// black and white only.
func (r *raster) fromPNG(img image.Image) {
	n := r.width * r.height
	grey, two := true, true
	rgb, alpha := make([]byte, 0, 3*n), make([]byte, 0, n)
	opaque := true
	b := img.Bounds()
	_, isGrey := img.(*image.Gray)
	_, isGrey16 := img.(*image.Gray16)
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			c := color.NRGBAModel.Convert(img.At(x, y)).(color.NRGBA)
			grey = grey && c.R == c.G && c.G == c.B
			two = two && grey && (c.R == 0 || c.R == 255)
			opaque = opaque && c.A == 255
			rgb, alpha = append(rgb, c.R, c.G, c.B), append(alpha, c.A)
		}
	}
	if !opaque {
		r.alpha = alpha
	}
	switch {
	case two && opaque && (isGrey || isPaletted(img)):
		r.colours, r.bits = 1, 1
		for y := range r.height {
			row := make([]byte, (r.width+7)/8)
			for x := range r.width {
				if rgb[3*(y*r.width+x)] > 0 {
					row[x/8] |= 0x80 >> (x % 8)
				}
			}
			r.samples = append(r.samples, row...)
		}
	case isGrey || isGrey16:
		r.colours = 1
		for i := 0; i < len(rgb); i += 3 {
			r.samples = append(r.samples, rgb[i])
		}
	default:
		r.colours, r.samples = 3, rgb
	}
}

// isPaletted reports whether pixels are those of a palette of black and white.
func isPaletted(img image.Image) bool {
	p, ok := img.(*image.Paletted)
	return ok && len(p.Palette) <= 2
}

// fromJPEG takes the data over as they are. The library reads four components only
// behind Adobe's marker, whose writers store them inverted.
func (r *raster) fromJPEG(img image.Image, data []byte) error {
	r.coded, r.samples = true, data
	switch img.(type) {
	case *image.Gray:
		r.colours = 1
	case *image.YCbCr:
		r.colours = 3
	case *image.RGBA:
		r.colours, r.plainRGB = 3, true
	case *image.CMYK:
		r.colours, r.inverted = 4, true
	default:
		return say.Refuse(say.Artwork, resave, "the picture's colours are of an unknown kind: %s", fmt.Sprintf("%T", img))
	}
	said, err := jpegSays(data)
	if err != nil {
		return err
	}
	if r.profile = said.profile; said.turn > 1 {
		return say.Refuse(say.Artwork, "save the picture upright", "the picture is stored turned, and its camera's note (Exif orientation %d) asks the reader to turn it", said.turn)
	}
	return nil
}
