package conform

import (
	"fmt"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// jpx says what keeps a JPEG 2000 image from being one of 1, 3 or 4 channels of
// colour; "" for nothing, and for images of other kinds.
func (w *walker) jpx(stream *pdfobj.Stream) string {
	r, rest, err := w.doc.DecodedUpTo(stream)
	if err != nil || len(rest) != 1 || rest[0].Filter != "JPXDecode" {
		return ""
	}
	x, err := artwork.ReadJPX(r)
	switch n := x.Components; {
	case err != nil:
		return "can't be read"
	case n == 0:
		return "has no header"
	case n != 1 && n != 3 && n != 4:
		return fmt.Sprintf("has %d channels, not 1, 3 or 4", n)
	case x.Space >= 0 && artwork.JPXSpaces[x.Space] != n:
		return fmt.Sprintf("has %d channels in the colour space %d of its kind", n, x.Space)
	}
	return ""
}
