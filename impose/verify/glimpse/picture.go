package glimpse

import (
	"bytes"
	"errors"
	"image"
	"image/jpeg"
	"io"
	"math"

	"quoin/impose/pdfobj"
)

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
func (r reader) picture(s *pdfobj.Stream, resources pdfobj.Dict) (*picture, error) {
	for _, key := range []pdfobj.Name{"SMask", "Mask", "ImageMask", "Decode", "DecodeParms", "OC"} {
		if o := s.Dict[key]; o != nil && (key != "DecodeParms" || r.jpeg(s)) {
			return nil, errPicture
		}
	}
	width, ok1 := r.Number(s.Dict["Width"])
	height, ok2 := r.Number(s.Dict["Height"])
	bits, _ := r.Number(s.Dict["BitsPerComponent"])
	space := r.space(s.Dict["ColorSpace"], resources, 0)
	if !ok1 || !ok2 || bits != 8 || width < 1 || height < 1 || space.components == 0 || width*height*float64(space.components) > mostSamples {
		return nil, errPicture
	}
	p := &picture{width: int(width), height: int(height)}
	if r.jpeg(s) {
		return p, r.photo(s, space, p)
	}
	n := space.components
	data := make([]byte, p.width*p.height*n)
	if samples, err := r.Decoded(s); err != nil {
		return nil, err
	} else if _, err := io.ReadFull(samples, data); err != nil {
		return nil, err
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

func (r reader) jpeg(s *pdfobj.Stream) bool {
	stages, _ := r.Stages(s)
	return len(stages) == 1 && stages[0].Filter == "DCTDecode"
}

// photo decodes a JPEG of grey or of red, green and blue.
func (r reader) photo(s *pdfobj.Stream, space *space, p *picture) error {
	if space != deviceGray && space != deviceRGB {
		return errPicture
	}
	coded, err := s.Raw()
	if err != nil {
		return err
	}
	raw, err := io.ReadAll(io.LimitReader(coded, mostDecoded))
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
	c.each(m.bounds(box{0, 0, 1, 1}), clip, func(image.Rectangle) func(x, y int) (uint32, paint) {
		return func(x, y int) (uint32, paint) {
			dx, dy := float64(x)+.5-m[4], float64(y)+.5-m[5]
			u, v := (m[3]*dx-m[2]*dy)/det, (m[0]*dy-m[1]*dx)/det
			if u < 0 || u >= 1 || v <= 0 || v > 1 {
				return 0, paint{}
			}
			i := int(math.Floor((1-v)*float64(pic.height)))*pic.width + int(u*float64(pic.width))
			return 255, paint{pic.grey[i], true}
		}
	})
}
