package artwork

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"io"

	"quoin/impose/pdfobj"
	"quoin/impose/say"
)

// Image is an image that the page prints.
type Image struct {
	Ref           pdfobj.Ref // zero for an inline image
	Name          string     // in the resources; "" for an inline image
	Width, Height int        // pixels
	Bits          int        // of a component
	Mask          bool       // painted in the current colour
	PPI           float64    // the lowest resolution at which it is placed; 0 if unknown
	At            Rect       // where it has that, in the page's space
	Space         string     // colour space, for people
	Filter        string     // the last one, which tells the kind of data; "" for none
}

// leastPPI is the resolution below which an image looks soft or jagged:
// common practice, no source.
const (
	leastPPI    = 200 // contone
	leastPPIBit = 600 // one bit, which no screen smooths
)

// least returns the resolution that the image should have.
func (i Image) least() float64 {
	if i.Bits == 1 {
		return leastPPIBit
	}
	return leastPPI
}

// place names the image for people.
func (i Image) place() string {
	if i.Ref.IsZero() {
		return "an inline image"
	}
	return "image " + i.Name
}

// smallImage is the most pixels that a spot of colour has: such images are
// stretched flat tints, whose resolution means nothing.
const smallImage = 16

func checkImages(s *scan) {
	for _, i := range s.page.Images {
		if i.PPI > 0 && i.PPI < i.least()-0.5 && i.Width*i.Height > smallImage {
			s.found.add(LowResolution, objectName(i.Ref), "%s, %d x %d pixels, has %s ppi where it is placed, %s; %s are wanted",
				i.place(), i.Width, i.Height, say.Fixed(i.PPI, 0), s.page.Where(i.At), say.Fixed(i.least(), 0))
		}
	}
}

// JPX is what the head of a JPEG 2000 file says of its colours: the components of
// its image header or, in a bare codestream, of its SIZ marker segment, 0 where
// neither is found; and the enumerated space of its colour box, -1 for none
// (ISO/IEC 15444-1 Annexes A.5.1 and I).
type JPX struct {
	Components int
	Space      int
}

// JPXSpaces are the enumerated colour spaces with their channels (ISO/IEC 15444-1
// Annex I and 15444-2 Annex M): CMYK, sRGB, grey and sYCC.
var JPXSpaces = map[int]int{12: 4, 16: 3, 17: 1, 18: 3}

// jpxHead is how far the boxes in front of the codestream may reach.
const jpxHead = 64 << 10

// ReadJPX reads the head of a JPEG 2000 file.
func ReadJPX(r io.Reader) (x JPX, err error) {
	x.Space = -1
	head, err := io.ReadAll(io.LimitReader(r, jpxHead))
	if i := bytes.Index(head, []byte("ihdr")); i >= 0 && len(head) >= i+14 {
		x.Components = int(binary.BigEndian.Uint16(head[i+12:]))
	} else if i := bytes.Index(head, []byte("\xff\x4f\xff\x51")); i >= 0 && len(head) >= i+42 {
		x.Components = int(binary.BigEndian.Uint16(head[i+40:]))
	}
	if i := bytes.Index(head, []byte("colr\x01")); i >= 0 && len(head) >= i+11 {
		x.Space = int(binary.BigEndian.Uint32(head[i+7:])) // METH, PREC, APPROX, EnumCS
	}
	return x, err
}

// JPXChannels returns the number of colour channels of a JPEG 2000 file, by its colour
// space or, failing that, by its components; 0 if it can't be found.
func JPXChannels(doc *pdfobj.Document, stream *pdfobj.Stream) int {
	r, rest, err := doc.DecodedUpTo(stream)
	if err != nil || len(rest) != 1 {
		return 0
	}
	x, _ := ReadJPX(r)
	return cmp.Or(JPXSpaces[x.Space], x.Components)
}
