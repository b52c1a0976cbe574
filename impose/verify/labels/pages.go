package labels

import (
	"context"
	"image"
	"image/color"
	"os"
	"slices"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/aztec"
	"github.com/makiuchi-d/gozxing/datamatrix"
	"github.com/makiuchi-d/gozxing/oned"
	"github.com/makiuchi-d/gozxing/qrcode"

	"quoin/impose/raster"
	"quoin/impose/register"
)

// drawn is how many pixels an inch pages are drawn at: three for a module of a
// quarter of a millimetre.
const drawn = 300

// Verify proves a run. What is wrong is in the report; an error says that it
// couldn't be looked at.
func Verify(ctx context.Context, o Options) (*Report, error) {
	reg, err := register.View(o.Register)
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
	}
	had := make(seen, r.Records/64+1)
	for _, p := range r.parts {
		if o.Parts != nil && !slices.Contains(o.Parts, p.Number) {
			continue
		}
		list, err := r.ledger(p, out)
		if err != nil {
			return nil, err
		}
		r.count(list, had, out)
		r.changes(list, out)
		if err := r.pages(ctx, reg, renderer, p, list, o.All, out); err != nil {
			return nil, err
		}
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

// pages draws frames of a part and reads their symbols.
func (r *run) pages(ctx context.Context, reg *register.Register, renderer *raster.Renderer, p register.Part, list []entry, all bool, out *Report) error {
	name := r.path(p.File)
	switch got, err := sum(name); {
	case err != nil:
		return err
	case got == "":
		out.Gone++
		return nil
	case got != p.Sum:
		out.differs(PartChanged, "%s has changed since it was written", name)
	}
	if renderer == nil {
		return nil
	}
	pdf, err := os.ReadFile(name)
	if err != nil {
		return err
	}
	wanted := []int{0}
	if n := int(p.Frames) - 1; n > 0 {
		wanted = append(wanted, n)
	}
	if all {
		wanted = wanted[:0]
		for n := range int(p.Frames) {
			wanted = append(wanted, n)
		}
	}
	err = renderer.Pages(pdf, drawn, wanted, func(page int, img image.Image) error {
		out.Frames++
		for _, e := range list {
			if e.frame == p.First+int64(page) && e.record > 0 {
				if err := r.label(reg, img, e, out); err != nil {
					return err
				}
			}
		}
		return ctx.Err()
	})
	if err != nil && ctx.Err() == nil {
		out.differs(PartChanged, "%s can't be drawn: %v", name, err)
		return nil
	}
	return err
}

// label reads the symbols of one label.
func (r *run) label(reg *register.Register, img image.Image, e entry, out *Report) error {
	var values []string
	err := reg.Values(r.source(), e.record, func(_ int64, v []string) (bool, error) {
		values = v
		return false, nil
	})
	if err != nil {
		return err
	}
	for _, s := range r.places.Symbols {
		if s.Lane != e.lane || s.Row != e.row {
			continue
		}
		for i, f := range r.spec.Fields {
			if f.Symbol == nil {
				continue
			}
			if decoders[f.Symbol.Kind] == nil {
				out.Unread.add(f.Symbol.Kind)
				continue
			}
			read, err := decode(f.Symbol.Kind, r.seen(img, s.Boxes[i]))
			want, same := r.spec.says(f, values, read)
			switch {
			case err != nil:
				out.differs(SymbolUnread, "record %d, frame %d, lane %d, row %d: the %s of field %s can't be read: %v", e.record, e.frame, e.lane, e.row, f.Symbol.Kind, f.Name, err)
			case !same:
				out.differs(SymbolDiffers, "record %d, frame %d, lane %d, row %d: field %s is read as %q, and should say %q", e.record, e.frame, e.lane, e.row, f.Name, read, want)
			default:
				out.Symbols++
			}
		}
	}
	return nil
}

// seen gives a box of a page as it is read: that of a second surface through the
// web.
func (r *run) seen(img image.Image, b box) *image.Gray {
	web := r.places.Mirrored
	if web == 0 {
		return cut(img, b)
	}
	b.Min.Across, b.Max.Across = web-b.Max.Across, web-b.Min.Across
	out := cut(img, b)
	for y := range out.Rect.Dy() {
		slices.Reverse(out.Pix[y*out.Stride : y*out.Stride+out.Rect.Dx()])
	}
	return out
}

// cut gives a box of a page, with white around it, as scanners like it.
func cut(img image.Image, b box) *image.Gray {
	const inch, margin = 25_400_000, 12
	px := func(l length) int { return int((l*drawn + inch/2) / inch) }
	r := image.Rect(px(b.Min.Across), px(b.Min.Around), px(b.Max.Across), px(b.Max.Around)).Intersect(img.Bounds())
	out := image.NewGray(image.Rect(0, 0, r.Dx()+2*margin, r.Dy()+2*margin))
	for i := range out.Pix {
		out.Pix[i] = 255
	}
	for y := range r.Dy() {
		for x := range r.Dx() {
			out.SetGray(margin+x, margin+y, color.GrayModel.Convert(img.At(r.Min.X+x, r.Min.Y+y)).(color.Gray))
		}
	}
	return out
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
