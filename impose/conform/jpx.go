package conform

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"

	"quoin/impose/pdfobj"
)

// jpxSpaces are the enumerated colour spaces of a JP2 file with their channels
// (ISO/IEC 15444-1 Annex I and 15444-2 Annex M): CMYK, sRGB, grey and sYCC.
var jpxSpaces = map[uint32]int{12: 4, 16: 3, 17: 1, 18: 3}

// jpxHeader is how far the boxes in front of the codestream may reach.
const jpxHeader = 64 << 10

// jpx says what keeps a JPEG 2000 image from being one of 1, 3 or 4 channels of
// colour; "" for nothing, and for images of other kinds.
func (w *walker) jpx(stream *pdfobj.Stream) string {
	r, rest, err := w.doc.DecodedUpTo(stream)
	if err != nil || len(rest) != 1 || rest[0].Filter != "JPXDecode" {
		return ""
	}
	head, err := io.ReadAll(io.LimitReader(r, jpxHeader))
	if err != nil {
		return "can't be read"
	}
	channels, ok := 0, false
	if i := bytes.Index(head, []byte("ihdr")); i >= 0 && len(head) >= i+14 {
		channels, ok = int(binary.BigEndian.Uint16(head[i+12:])), true
	} else if i := bytes.Index(head, []byte("\xff\x4f\xff\x51")); i >= 0 && len(head) >= i+42 {
		channels, ok = int(binary.BigEndian.Uint16(head[i+40:])), true // SIZ, Annex A.5.1
	}
	if !ok {
		return "has no header"
	}
	if channels != 1 && channels != 3 && channels != 4 {
		return fmt.Sprintf("has %d channels, not 1, 3 or 4", channels)
	}
	if i := bytes.Index(head, []byte("colr\x01")); i >= 0 && len(head) >= i+11 {
		space := binary.BigEndian.Uint32(head[i+7:])
		if n, known := jpxSpaces[space]; !known || n != channels {
			return fmt.Sprintf("has %d channels in the colour space %d of its kind", channels, space)
		}
	}
	return ""
}
