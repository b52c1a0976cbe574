package labels

import (
	"cmp"
	"context"
	"fmt"
	"image"
	"slices"

	"quoin/impose/raster"
	"quoin/impose/register"
)

// unregistered is an error of the register, which is none of a page.
type unregistered struct{ error }

// page draws a page where symbols stand, and reads them.
func (r *run) page(ctx context.Context, reg *register.Register, book *opened, page int, list []entry, out *Report) error {
	values, err := r.values(reg, list)
	if err != nil {
		return err
	}
	if list = r.glance(book, page, list, values, out); len(list) == 0 {
		return nil
	}
	return r.full(ctx, book, page, list, values, out)
}

// full draws labels by the renderer, piece by piece, and reads their symbols.
func (r *run) full(ctx context.Context, book *opened, page int, list []entry, values map[int64][]string, out *Report) error {
	pieces := r.pieces(list)
	if len(pieces) == 0 {
		return nil
	}
	all, err := book.full(ctx)
	if err != nil {
		return err
	}
	sheet, err := all.Sheet(page)
	if err != nil {
		return err
	}
	defer sheet.Close()
	for _, p := range pieces {
		left := r.onLabels(p.labels, out)
		for i, look := range looks {
			if len(left) == 0 {
				break
			}
			img, err := look(ctx, sheet, p.area)
			if err != nil {
				return err
			}
			left = r.read(img, left, values, i == len(looks)-1, out)
		}
	}
	return nil
}

// looks are how symbols are looked at, until they are read. The renderer lets a white
// underprint, which is painted last and overprints, cover what it stands under; and a
// symbol in colour, or on one, may show in red light only, which is that of scanners
// (ISO/IEC 15416: 660 nm, from memory).
var looks = []func(context.Context, *raster.Sheet, image.Rectangle) (*image.Gray, error){
	part,
	func(ctx context.Context, s *raster.Sheet, area image.Rectangle) (*image.Gray, error) {
		if err := s.Hide("White"); err != nil {
			return nil, err
		}
		return part(ctx, s, area)
	},
	in(raster.Red),
}

// in looks at a part of a page in a light.
func in(light raster.Light) func(context.Context, *raster.Sheet, image.Rectangle) (*image.Gray, error) {
	return func(ctx context.Context, s *raster.Sheet, area image.Rectangle) (*image.Gray, error) {
		s.In(light)
		defer s.In(raster.White)
		return part(ctx, s, area)
	}
}

// part draws a part of a page, in pixels.
func part(ctx context.Context, sheet *raster.Sheet, area image.Rectangle) (*image.Gray, error) {
	const perPoint = drawn / 72.0
	pixels, err := sheet.GreyPart(ctx, area.Dx(), area.Dy(), perPoint, float64(area.Min.X)/perPoint, float64(area.Min.Y)/perPoint)
	if err != nil {
		return nil, err
	}
	return &image.Gray{Pix: pixels, Stride: area.Dx(), Rect: area}, nil
}

// piece is a part of a page that is drawn at once.
type piece struct {
	area   image.Rectangle
	labels []entry
}

// piecePixels is how many pixels a piece with several labels has at most: a megabyte
// of the renderer's memory.
const piecePixels = 1 << 18

// pieces cuts a page into pieces of a row each, in pixels, as far as symbols stand
// there.
func (r *run) pieces(list []entry) (all []piece) {
	printed := slices.DeleteFunc(slices.Clone(list), func(e entry) bool { return e.record <= 0 || r.area(e).Empty() })
	slices.SortFunc(printed, func(a, b entry) int { return cmp.Or(cmp.Compare(a.row, b.row), cmp.Compare(a.lane, b.lane)) })
	for _, e := range printed {
		area := r.area(e)
		if n := len(all) - 1; n >= 0 && all[n].labels[0].row == e.row {
			if both := all[n].area.Union(area); both.Dx()*both.Dy() <= piecePixels {
				all[n] = piece{both, append(all[n].labels, e)}
				continue
			}
		}
		all = append(all, piece{area, []entry{e}})
	}
	return all
}

// area returns what the symbols of a label take of a page, in pixels.
func (r *run) area(e entry) (area image.Rectangle) {
	r.eachSymbol(e, func(_ field, b box) { area = area.Union(pixels(r.onPage(b))) })
	return area
}

// values returns the values of a frame's records, block by block of the register: each
// lane goes through records of its own.
func (r *run) values(reg *register.Register, frame []entry) (map[int64][]string, error) {
	var records []int64
	for _, e := range frame {
		if e.record > 0 {
			records = append(records, e.record)
		}
	}
	slices.Sort(records)
	known := make(map[int64][]string, len(records))
	for rest := slices.Compact(records); len(rest) > 0; {
		first := rest[0]
		err := reg.Values(r.source(), first, func(record int64, v []string) (more bool, err error) {
			if record != rest[0] {
				return record < rest[0], nil
			}
			known[record], rest = v, rest[1:]
			return len(rest) > 0 && (rest[0]-1)/register.Block == (first-1)/register.Block, nil
		})
		if err != nil {
			return nil, &unregistered{err}
		}
		if len(rest) > 0 && rest[0] == first {
			return nil, &unregistered{fmt.Errorf("the register has no values of record %d", first)}
		}
	}
	return known, nil
}

// onLabel is a symbol on a label.
type onLabel struct {
	entry
	field
	box box
}

// onLabels lists the symbols of labels that a decoder knows.
func (r *run) onLabels(labels []entry, out *Report) (list []onLabel) {
	for _, e := range labels {
		r.eachSymbol(e, func(f field, b box) {
			if decoders[f.Symbol.Kind] == nil {
				out.Unread.add(f.Symbol.Kind)
				return
			}
			list = append(list, onLabel{e, f, b})
		})
	}
	return list
}

// reading is what a symbol says, and should say.
type reading struct {
	says, want string
	same       bool
	err        error // it can't be read
}

// reading decodes a symbol from a picture of its place.
func (r *run) reading(img *image.Gray, s onLabel, values []string) (x reading) {
	if x.says, x.err = decode(s.Symbol.Kind, r.seen(img, s.box)); x.err == nil {
		x.want, x.same = r.spec.says(s.field, values, x.says)
	}
	return x
}

// read reads symbols, and returns those that can't be, which the last time differ.
func (r *run) read(img *image.Gray, list []onLabel, values map[int64][]string, last bool, out *Report) (left []onLabel) {
	for _, s := range list {
		x := r.reading(img, s, values[s.record])
		switch {
		case x.err != nil && !last:
			left = append(left, s)
		case x.err != nil:
			out.differs(SymbolUnread, "record %d, frame %d, lane %d, row %d: the %s of field %s can't be read: %v", s.record, s.frame, s.lane, s.row, s.Symbol.Kind, s.Name, x.err)
		case !x.same:
			out.differs(SymbolDiffers, "record %d, frame %d, lane %d, row %d: field %s is read as %q, and should say %q", s.record, s.frame, s.lane, s.row, s.Name, x.says, x.want)
		default:
			out.Symbols++
		}
	}
	return left
}

// onPage returns where a box stands on the page: that of a second surface is its
// mirror image.
func (r *run) onPage(b box) box {
	if web := r.places.Mirrored; web != 0 {
		b.Min.Across, b.Max.Across = web-b.Max.Across, web-b.Min.Across
	}
	return b
}

// seen returns a box of a page as it is read: that of a second surface through the
// web.
func (r *run) seen(img *image.Gray, b box) *image.Gray {
	out := cut(img, r.onPage(b))
	if r.places.Mirrored != 0 {
		for y := range out.Rect.Dy() {
			slices.Reverse(out.Pix[y*out.Stride : y*out.Stride+out.Rect.Dx()])
		}
	}
	return out
}

// pixels returns a box in pixels of the page.
func pixels(b box) image.Rectangle {
	const inch = 25_400_000
	px := func(l length) int { return int((l*drawn + inch/2) / inch) }
	return image.Rect(px(b.Min.Across), px(b.Min.Around), px(b.Max.Across), px(b.Max.Around))
}

// cut returns a box of a page, with white around it, as scanners like it.
func cut(img *image.Gray, b box) *image.Gray {
	const margin = 12
	r := pixels(b).Intersect(img.Rect)
	out := image.NewGray(image.Rect(0, 0, r.Dx()+2*margin, r.Dy()+2*margin))
	for i := range out.Pix {
		out.Pix[i] = 255
	}
	for y := range r.Dy() {
		copy(out.Pix[(y+margin)*out.Stride+margin:], img.Pix[img.PixOffset(r.Min.X, r.Min.Y+y):][:r.Dx()])
	}
	return out
}
