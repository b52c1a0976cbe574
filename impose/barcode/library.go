package barcode

import (
	"fmt"

	"github.com/boombuler/barcode"
	"github.com/boombuler/barcode/ean"
	"github.com/boombuler/barcode/twooffive"
)

// libraryBars gives the bars of EAN, UPC and ITF symbols. A UPC-A is the
// EAN-13 with a 0 in front. The library's ITF makes wide elements three
// modules, inside GS1's 2.25 to 3.0 (General Specifications 5.3; from memory,
// not checked).
func libraryBars(k Kind, digits string) ([]uint8, error) {
	var code barcode.Barcode
	var err error
	switch k {
	case EAN13, EAN8:
		code, err = ean.Encode(digits)
	case UPCA:
		code, err = ean.Encode("0" + digits)
	case ITF14:
		code, err = twooffive.Encode(digits, true)
	default:
		return nil, fmt.Errorf("%s is not made by the library", k)
	}
	if err != nil {
		return nil, err
	}
	var bars []uint8
	last := false
	for x := range code.Bounds().Dx() {
		r, _, _, _ := code.At(x, 0).RGBA()
		if dark := r == 0; dark != last {
			bars = append(bars, 0)
			last = dark
		}
		bars[len(bars)-1]++
	}
	return bars, nil
}
