package glimpse

import (
	"bytes"
	"errors"
	"image"
	"image/jpeg"
	"math"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// pictures reads images.
type pictures struct{ *reader }

// picture is an image of a page, in grey (ISO 32000-1 8.9.5).
type picture struct {
	width, height int
	grey          []byte
}

// mostSamples bounds the bytes of a picture as it is decoded. Larger ones are for the
// renderer.
const mostSamples = 6 << 20

// errPicture tells of a picture of another kind.
var errPicture = errors.New("a picture that isn't understood here")

// picture reads a picture of eight bits a sample that covers what it stands on.
func (r pictures) picture(s *types.StreamDict, resources types.Dict) (*picture, error) {
	for _, key := range []string{"SMask", "Mask", "ImageMask", "Decode", "DecodeParms", "OC"} {
		if o := s.Dict[key]; o != nil && (key != "DecodeParms" || r.jpeg(s)) {
			return nil, errPicture
		}
	}
	width, ok1 := r.number(s.Dict["Width"])
	height, ok2 := r.number(s.Dict["Height"])
	bits, _ := r.number(s.Dict["BitsPerComponent"])
	space := inks(r).space(s.Dict["ColorSpace"], resources, 0)
	if !ok1 || !ok2 || bits != 8 || width < 1 || height < 1 || space.components == 0 || width*height*float64(space.components) > mostSamples {
		return nil, errPicture
	}
	p := &picture{width: int(width), height: int(height)}
	if r.jpeg(s) {
		return p, r.photo(s, space, p)
	}
	data, err := r.decoded(s)
	n := space.components
	if err != nil || len(data) < p.width*p.height*n {
		return nil, errPicture
	}
	p.grey = make([]byte, p.width*p.height)
	v := make([]float64, n)
	for i := range p.grey {
		for j := range v {
			v[j] = float64(data[i*n+j]) / 255
		}
		with := space.paint(v)
		if !with.known {
			return nil, errPicture
		}
		p.grey[i] = with.grey
	}
	return p, nil
}

func (r pictures) jpeg(s *types.StreamDict) bool {
	return len(s.FilterPipeline) == 1 && s.FilterPipeline[0].Name == "DCTDecode"
}

// photo decodes a JPEG of grey or of red, green and blue.
func (r pictures) photo(s *types.StreamDict, space *space, p *picture) error {
	if space != deviceGray && space != deviceRGB {
		return errPicture
	}
	raw, err := r.raw(s)
	if err != nil {
		return err
	}
	// The size comes first: what a picture says of itself may be another.
	head, err := jpeg.DecodeConfig(bytes.NewReader(raw))
	if err != nil || head.Width != p.width || head.Height != p.height {
		return errPicture
	}
	img, err := jpeg.Decode(bytes.NewReader(raw))
	if err != nil {
		return err
	}
	_, grey := img.(*image.Gray)
	if grey != (space == deviceGray) {
		return errPicture
	}
	switch img := img.(type) {
	case *image.Gray, *image.YCbCr, *image.RGBA:
		p.grey = make([]byte, p.width*p.height)
		for y := range p.height {
			for x := range p.width {
				red, green, blue, _ := img.At(x, y).RGBA()
				p.grey[y*p.width+x] = deviceRGB.paint([]float64{float64(red) / 0xffff, float64(green) / 0xffff, float64(blue) / 0xffff}).grey
			}
		}
		return nil
	}
	return errPicture
}

// show paints a picture where pixels have their middle in it.
func (c *canvas) show(pic *picture, m matrix, clip *clip) {
	det := m[0]*m[3] - m[1]*m[2]
	bounds := m.bounds(box{0, 0, 1, 1})
	if clip != nil {
		bounds = bounds.within(clip.bounds)
	}
	for _, p := range c.places {
		area := p.pixels(bounds)
		if area.Empty() {
			continue
		}
		through, none := clip.over(c, p)
		if none {
			continue
		}
		for y := area.Min.Y; y < area.Max.Y; y++ {
			for x := area.Min.X; x < area.Max.X; x++ {
				dx, dy := float64(x)+.5-m[4], float64(y)+.5-m[5]
				u, v := (m[3]*dx-m[2]*dy)/det, (m[0]*dy-m[1]*dx)/det
				if u < 0 || u >= 1 || v <= 0 || v > 1 {
					continue
				}
				i := int(math.Floor((1-v)*float64(pic.height)))*pic.width + int(u*float64(pic.width))
				at := (y-p.Grey.Rect.Min.Y)*p.Grey.Stride + x - p.Grey.Rect.Min.X
				a := uint32(255)
				if through != nil {
					a = uint32(through[at])
				}
				p.put(at, a, paint{pic.grey[i], true})
			}
		}
	}
}
