package witness

import (
	"encoding/binary"
	"fmt"
	"image"
	"os"
)

// greyTIFF reads a plate as tiffsep writes it: one page, uncompressed, 8 bits a
// pixel, 0 is black. A library that reads every kind of TIFF asks for each pixel by
// itself, which took longer than the separation of a small page. Tags are those of
// TIFF 6.0, Adobe, 1992.
func greyTIFF(path string) (*image.Gray, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	little := binary.LittleEndian
	if len(data) < 10 || string(data[:4]) != "II*\x00" {
		return nil, fmt.Errorf("%s is no little-endian TIFF", path)
	}
	at := int(little.Uint32(data[4:]))
	if at > len(data)-2 || at+2+12*int(little.Uint16(data[at:])) > len(data) {
		return nil, fmt.Errorf("%s is cut off", path)
	}
	values, offsets := map[uint16]int{}, []int{}
	for i := range int(little.Uint16(data[at:])) {
		entry := data[at+2+12*i:][:12]
		tag, kind, count := little.Uint16(entry), little.Uint16(entry[2:]), int(little.Uint32(entry[4:]))
		switch {
		case kind == 3 && count == 1:
			values[tag] = int(little.Uint16(entry[8:]))
		case kind == 4 && count == 1:
			values[tag] = int(little.Uint32(entry[8:]))
		case kind == 4 && tag == 273: // several strips
			for k := range count {
				offsets = append(offsets, int(little.Uint32(data[int(little.Uint32(entry[8:]))+4*k:])))
			}
		}
	}
	for tag, want := range map[uint16]int{258: 8, 259: 1, 262: 1, 277: 1} {
		if values[tag] != want {
			return nil, fmt.Errorf("%s: the tag %d is %d; this package knows 8-bit grey, uncompressed", path, tag, values[tag])
		}
	}
	if len(offsets) == 0 {
		offsets = []int{values[273]}
	}
	img := image.NewGray(image.Rect(0, 0, values[256], values[257]))
	strip := values[278] * img.Stride
	for i, offset := range offsets {
		to := img.Pix[min(i*strip, len(img.Pix)):min((i+1)*strip, len(img.Pix))]
		if offset+len(to) > len(data) || i == len(offsets)-1 && (i+1)*strip < len(img.Pix) {
			return nil, fmt.Errorf("%s is cut off", path)
		}
		copy(to, data[offset:])
	}
	return img, nil
}
