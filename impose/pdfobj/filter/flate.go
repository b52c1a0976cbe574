package filter

import (
	"bufio"
	"compress/lzw"
	"errors"
	"io"

	"github.com/klauspost/compress/flate"
	tifflzw "golang.org/x/image/tiff/lzw"
)

// newFlate undoes FlateDecode. The checksum at the end is not looked at:
// files in the field often cut it off.
func newFlate(r io.Reader, p Params) io.Reader {
	src := &sourceErr{r: r}
	return &lenient{r: &zlibReader{src: bufio.NewReaderSize(src, int(min(max(p.Stored/16, 4<<10), 64<<10)))}, src: src, tell: p.Damaged}
}

// zlibReader skips the zlib header, which some writers leave out or precede
// by a line end.
type zlibReader struct {
	src *bufio.Reader
	z   io.Reader
}

func (f *zlibReader) Read(p []byte) (int, error) {
	if f.z == nil {
		head, err := f.src.Peek(4)
		if len(head) == 0 {
			return 0, err
		}
		for skip := 0; skip+1 < len(head); skip++ {
			if isZlibHeader(head[skip], head[skip+1]) {
				f.src.Discard(skip + 2)
				break
			}
			if c := head[skip]; c != '\r' && c != '\n' && c != ' ' {
				break // raw deflate data, perhaps
			}
		}
		f.z = flate.NewReader(f.src)
	}
	n, err := f.z.Read(p)
	if err == io.ErrUnexpectedEOF && n > 0 {
		err = nil
	}
	return n, err
}

// isZlibHeader checks the two bytes as RFC 1950 says: method 8 and a multiple
// of 31.
func isZlibHeader(cmf, flg byte) bool {
	return cmf&0x0f == 8 && (uint(cmf)<<8|uint(flg))%31 == 0
}

// newLZW undoes LZWDecode. With EarlyChange, the default, codes grow one
// entry early, as in TIFF; without, as in GIF but most significant bit first.
func newLZW(r io.Reader, earlyChange int, tell func(error)) io.Reader {
	src := &sourceErr{r: r}
	var z io.Reader
	if earlyChange == 0 {
		z = lzw.NewReader(src, lzw.MSB, 8)
	} else {
		z = tifflzw.NewReader(src, tifflzw.MSB, 8)
	}
	return &lenient{r: z, src: src, tell: tell}
}

var errParams = errors.New("the filter's parameters make no sense")
