package barcode

import (
	"fmt"
	"strings"

	"github.com/boombuler/barcode"
	"github.com/boombuler/barcode/aztec"
	"github.com/boombuler/barcode/code39"
	"github.com/boombuler/barcode/ean"
	"github.com/boombuler/barcode/pdf417"
	"github.com/boombuler/barcode/twooffive"

	"quoin/impose/say"
)

// libraryBars returns the bars of EAN, UPC, ITF and Code 39 symbols. A UPC-A is the
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
	case Code39:
		code, err = code39.Encode(digits, false, false)
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

// encode39 makes a Code 39 without a check character. The library makes wide
// elements two modules; they become three, the widest that ISO/IEC 16388 allows
// and the easiest to read (from memory).
func (e *Encoder) encode39(data string) error {
	for _, r := range data {
		if !strings.ContainsRune("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-. $/+%", r) {
			return say.Refuse(say.Failed, "take code-128, or write capitals, digits and - . $ / + %", "a Code 39 has no %q", r)
		}
	}
	if len(data) > longest39 {
		return say.Refuse(say.Failed, "take code-128 or a matrix", "%d characters are too many for a Code 39", len(data))
	}
	bars, err := libraryBars(Code39, data)
	for i, w := range bars {
		if w == 2 {
			bars[i] = 3
		}
	}
	e.symbol.Bars = bars
	return err
}

// longest39 keeps a symbol to some 16 modules for each of so many characters.
const longest39 = 80

// Levels of correction: a PDF417 gets 2 to the power of level + 1 codewords
// (ISO/IEC 15438 annex E asks for level 2 up to 40 data codewords; from memory),
// an Aztec Code a third of it (ISO/IEC 24778 asks for 23 % at least; from memory).
const (
	levelPDF417  = 3
	shareAztec   = 33
	rowOfPDF417  = 3 // modules high, the least that its standard allows
	libraryGives = 2 // modules that the library makes a row high
)

// encodeLibrary makes a PDF417 or an Aztec Code. Text beyond ASCII is refused:
// the library can't announce what its bytes mean.
func (e *Encoder) encodeLibrary(data string) error {
	if beyondASCII([]byte(data)) {
		return say.Refuse(say.Failed, "take qr or data-matrix", "a %s is made of ASCII letters here", e.kind)
	}
	var code barcode.Barcode
	var err error
	step, high := 1, 1
	if e.kind == PDF417 {
		code, err = pdf417.Encode(data, levelPDF417)
		step, high = libraryGives, rowOfPDF417
	} else {
		code, err = aztec.Encode([]byte(data), shareAztec, 0)
	}
	if err != nil {
		return &say.Refusal{Way: "shorten the value", Text: fmt.Sprintf("%d characters", len(data)), Err: err}
	}
	if e.kind == PDF417 {
		if rows := code.Bounds().Dy() / libraryGives; !mendable(rows) {
			return say.Refuse(say.Failed, "shorten the value", "%d characters take %d rows, which the library makes wrongly", len(data), rows)
		}
		code = mended{code, code.Bounds().Dy() / libraryGives}
	}
	b := code.Bounds()
	e.symbol.Grid.reset(b.Dx(), b.Dy()/step*high)
	for row := range b.Dy() / step {
		for col := range b.Dx() {
			if r, _, _, _ := code.At(b.Min.X+col, b.Min.Y+row*step).RGBA(); r == 0 {
				for i := range high {
					e.symbol.Grid.set(col, row*high+i)
				}
			}
		}
	}
	return nil
}
