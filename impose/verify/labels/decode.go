package labels

import (
	"image"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/aztec"
	"github.com/makiuchi-d/gozxing/datamatrix"
	"github.com/makiuchi-d/gozxing/oned"
	"github.com/makiuchi-d/gozxing/qrcode"
)

// qr returns a reader of QR Code by the interface of the others.
func qr() gozxing.Reader { return qrcode.NewQRCodeReader() }

// matrix returns a reader of Data Matrix by the interface of the others.
func matrix() gozxing.Reader { return datamatrix.NewDataMatrixReader() }

// aztecCode returns a reader of Aztec Code by the interface of the others.
func aztecCode() gozxing.Reader { return aztec.NewAztecReader() }

// decoders are the readers by kind. The library has none for PDF417 and for most of
// DataBar, and the one it has passes over every second number.
var decoders = map[string]func() gozxing.Reader{
	"ean-13": oned.NewEAN13Reader, "ean-8": oned.NewEAN8Reader, "upc-a": oned.NewUPCAReader, "upc-e": oned.NewUPCEReader, "itf-14": oned.NewITFReader,
	"code-39": oned.NewCode39Reader, "code-128": oned.NewCode128Reader, "gs1-128": oned.NewCode128Reader, "qr": qr, "gs1-qr": qr,
	"data-matrix": matrix, "gs1-data-matrix": matrix, "aztec": aztecCode,
}

// decode reads a symbol of a kind that has a decoder, upright or on its side.
func decode(kind string, img *image.Gray) (text string, err error) {
	reader := decoders[kind]
	hints := map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true}
	if kind == "gs1-128" {
		hints[gozxing.DecodeHintType_ASSUME_GS1] = true
	}
	pure := map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_PURE_BARCODE: true}
	for _, img := range []*image.Gray{img, side(img)} {
		for _, how := range []map[gozxing.DecodeHintType]any{hints, pure} {
			var bitmap *gozxing.BinaryBitmap
			if bitmap, err = gozxing.NewBinaryBitmapFromImage(img); err != nil {
				return "", err
			}
			var result *gozxing.Result
			if result, err = reader().Decode(bitmap, how); err == nil {
				return result.GetText(), nil
			}
		}
	}
	return "", err
}

// side turns a picture by a quarter.
func side(img *image.Gray) *image.Gray {
	b := img.Bounds()
	out := image.NewGray(image.Rect(0, 0, b.Dy(), b.Dx()))
	for y := range b.Dy() {
		for x := range b.Dx() {
			out.SetGray(y, b.Dx()-1-x, img.GrayAt(x, y))
		}
	}
	return out
}
