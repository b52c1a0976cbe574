package glimpse

import (
	"errors"
	"io"

	"quoin/impose/pdfobj"
)

// reader gives what a file holds.
type reader struct{ *pdfobj.Document }

const (
	mostDecoded = 16 << 20 // bytes of one stream
	mostObjects = 1 << 22  // of a file
)

func (r reader) numbers(o pdfobj.Object) []float64 {
	list, _ := r.Numbers(o)
	return list
}

// page is what a page says, with what it inherits (ISO 32000-1 7.7.3.4).
type page struct {
	resources pdfobj.Dict
	contents  pdfobj.Object
	height    float64 // points
}

// page reads a page that lies as our pages do: upright, from the origin on, all of it
// shown. The first is 0.
func (r reader) page(number int) (*page, error) {
	p, err := r.Page(number)
	if err != nil {
		return nil, err
	}
	box := r.numbers(p.Dict["MediaBox"])
	crop := r.numbers(p.Dict["CropBox"])
	if len(box) != 4 || box[0] != 0 || box[1] != 0 || p.Dict["CropBox"] != nil && (len(crop) != 4 || [4]float64(crop) != [4]float64(box)) {
		return nil, errors.New("a page that doesn't begin at the origin, or is cropped")
	}
	if turn, ok := r.Number(p.Dict["Rotate"]); ok && turn != 0 || p.Dict["UserUnit"] != nil {
		return nil, errors.New("a page that is turned or scaled")
	}
	return &page{resources: r.Dict(p.Dict["Resources"]), contents: p.Dict["Contents"], height: box[3]}, nil
}

// content returns the streams of a page's or form's content, joined by line ends.
func (r reader) content(o pdfobj.Object) ([]byte, error) { return io.ReadAll(r.Content(o)) }

// sound fails where anything of what was read so far had to be mended: others may
// mend it otherwise.
func (r reader) sound() error {
	if r.Damage().Any() {
		return errors.New("the file is damaged")
	}
	return r.Err()
}
