package labels

import (
	"context"
	"errors"
	"image"
	"os"
	"slices"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/aztec"
	"github.com/makiuchi-d/gozxing/datamatrix"
	"github.com/makiuchi-d/gozxing/oned"
	"github.com/makiuchi-d/gozxing/qrcode"

	"quoin/impose/raster"
	"quoin/impose/register"
	"quoin/impose/thrift"
)

// drawn is how many pixels an inch pages are drawn at: three for a module of a
// quarter of a millimetre.
const drawn = 300

// Verify proves a run. What is wrong is in the report; an error says that it
// couldn't be looked at.
func Verify(ctx context.Context, o Options) (*Report, error) {
	defer thrift.Collect()()
	thrift.Release()
	reg, err := register.View(o.at(o.Register))
	if err != nil {
		return nil, err
	}
	defer reg.Close()
	r, err := open(reg, o)
	if err != nil {
		return nil, err
	}
	out := &Report{Run: r.File, Parts: len(r.parts), Differences: []Difference{}}
	if err := r.journal(out); err != nil {
		return nil, err
	}
	if o.Records != "" {
		if err := r.data(reg, o.Records, out); err != nil {
			return nil, err
		}
	}
	var renderer *raster.Renderer // nil: a run without symbols needs none
	if r.symbols() {
		if renderer, err = raster.New(ctx, o.Say); err != nil {
			return nil, err
		}
		defer renderer.Close()
		thrift.Release()
	}
	had := make(seen, r.Records/64+1)
	for _, p := range r.parts {
		if o.Parts != nil && !slices.Contains(o.Parts, p.Number) {
			continue
		}
		if err := r.part(ctx, reg, renderer, p, had, o.All, out); err != nil {
			return nil, err
		}
		thrift.Release()
	}
	if o.Parts == nil || len(o.Parts) == len(r.parts) {
		r.missing(had, out)
	}
	return out, nil
}

// symbols reports whether labels of the run carry any.
func (r *run) symbols() bool {
	return slices.ContainsFunc(r.spec.Fields, func(f field) bool { return f.Symbol != nil })
}

// part proves a part frame by frame: its ledger, the rolls along its lanes, and the
// symbols on its pages.
func (r *run) part(ctx context.Context, reg *register.Register, renderer *raster.Renderer, p register.Part, had seen, all bool, out *Report) error {
	book, err := r.open(renderer, p, out)
	if err != nil {
		return err
	}
	if book != nil {
		defer book.close()
	}
	along := rolls{r, out, map[int]*stretch{}}
	err = r.ledger(p, out, func(frame []entry) error {
		r.count(frame, had, out)
		along.frame(frame)
		n := frame[0].frame
		if book == nil || !all && n != p.First && n != p.First+p.Frames-1 {
			return nil
		}
		out.Frames++
		err := r.page(ctx, reg, book.Book, int(n-p.First), frame, out)
		var lost *unregistered
		if err != nil && ctx.Err() == nil && !errors.As(err, &lost) {
			out.differs(PartChanged, "%s can't be drawn: %v", r.path(p.File), err)
			book.close()
			book, err = nil, nil
		}
		return err
	})
	along.end()
	return err
}

// opened is a press file that is drawn from.
type opened struct {
	*raster.Book
	file *os.File
}

func (o *opened) close() {
	if o.file != nil {
		o.Book.Close()
		o.file.Close()
		o.file = nil
	}
}

// open opens a part's press file to be drawn, and holds it against its sum; nil where
// there is nothing to be drawn.
func (r *run) open(renderer *raster.Renderer, p register.Part, out *Report) (*opened, error) {
	name := r.path(p.File)
	switch got, err := sum(r.lies(name)); {
	case err != nil:
		return nil, err
	case got == "":
		out.Gone++
		return nil, nil
	case got != p.Sum:
		out.differs(PartChanged, "%s has changed since it was written", name)
	}
	if renderer == nil {
		return nil, nil
	}
	file, err := os.Open(r.lies(name))
	if err != nil {
		return nil, err
	}
	info, err := file.Stat()
	if err != nil {
		file.Close()
		return nil, err
	}
	book, err := renderer.OpenBook(file, info.Size())
	if err != nil {
		file.Close()
		out.differs(PartChanged, "%s can't be drawn: %v", name, err)
		return nil, nil
	}
	return &opened{book, file}, nil
}

// qr gives a reader of QR Code by the interface of the others.
func qr() gozxing.Reader { return qrcode.NewQRCodeReader() }

// matrix gives a reader of Data Matrix by the interface of the others.
func matrix() gozxing.Reader { return datamatrix.NewDataMatrixReader() }

// aztecCode gives a reader of Aztec Code by the interface of the others.
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
