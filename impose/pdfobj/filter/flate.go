package filter

import (
	"compress/lzw"
	"errors"
	"io"

	tifflzw "golang.org/x/image/tiff/lzw"
)

// newFlate undoes FlateDecode. The checksum at the end is not looked at:
// files in the field often cut it off.
func newFlate(r io.Reader, tell func(error)) io.Reader {
	src := &sourceErr{r: r}
	return &lenient{r: &inflate{src: src}, src: src, tell: tell}
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
