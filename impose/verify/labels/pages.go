package labels

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"image"
	"slices"

	"quoin/impose/register"
	"quoin/impose/thrift"
)

// drawn is how many pixels an inch pages are drawn at: three for a module of a
// quarter of a millimetre.
const drawn = 300

// Verify proves a run. What is wrong is in the report; an error says that it
// couldn't be looked at.
func Verify(ctx context.Context, o Options) (*Report, error) {
	defer thrift.Collect(thrift.Lean)()
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
	r.journal(out)
	if o.Records != "" {
		if err := r.data(reg, o.Records, out); err != nil {
			return nil, err
		}
	}
	look := &eyes{say: o.Say, glances: o.Glance}
	defer look.close()
	had := make(seen, r.Records/64+1)
	for _, p := range r.parts {
		if o.Parts != nil && !slices.Contains(o.Parts, p.Number) {
			continue
		}
		if err := r.part(ctx, reg, look, p, had, o.All, out); err != nil {
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
func (r *run) part(ctx context.Context, reg *register.Register, look *eyes, p register.Part, had seen, all bool, out *Report) error {
	book, err := r.open(ctx, look, p, out)
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
		err := r.page(ctx, reg, book, int(n-p.First), frame, out)
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

// unregistered is an error of the register, which is none of a page.
type unregistered struct{ error }

// page draws a page where symbols stand, and reads them.
func (r *run) page(ctx context.Context, reg *register.Register, book *opened, page int, list []entry, out *Report) error {
	values, err := r.values(reg, list)
	if err != nil {
		return err
	}
	if list = r.glance(ctx, book, page, list, values, out); len(list) == 0 {
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
		const perPoint = drawn / 72.0
		pixels, err := sheet.Part(ctx, p.area.Dx(), p.area.Dy(), perPoint, float64(p.area.Min.X)/perPoint, float64(p.area.Min.Y)/perPoint)
		if err != nil {
			return err
		}
		img := &image.Gray{Pix: pixels, Stride: p.area.Dx(), Rect: p.area}
		for _, e := range p.labels {
			r.label(img, e, values[e.record], out)
		}
	}
	return nil
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

// area gives what the symbols of a label take of a page, in pixels.
func (r *run) area(e entry) (area image.Rectangle) {
	r.eachSymbol(e, func(_ field, b box) { area = area.Union(pixels(r.onPage(b))) })
	return area
}

// values gives the values of a frame's records, block by block of the register: each
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

// label reads the symbols of one label.
func (r *run) label(img *image.Gray, e entry, values []string, out *Report) {
	r.eachSymbol(e, func(f field, b box) {
		if decoders[f.Symbol.Kind] == nil {
			out.Unread.add(f.Symbol.Kind)
			return
		}
		read, err := decode(f.Symbol.Kind, r.seen(img, b))
		want, same := r.spec.says(f, values, read)
		switch {
		case err != nil:
			out.differs(SymbolUnread, "record %d, frame %d, lane %d, row %d: the %s of field %s can't be read: %v", e.record, e.frame, e.lane, e.row, f.Symbol.Kind, f.Name, err)
		case !same:
			out.differs(SymbolDiffers, "record %d, frame %d, lane %d, row %d: field %s is read as %q, and should say %q", e.record, e.frame, e.lane, e.row, f.Name, read, want)
		default:
			out.Symbols++
		}
	})
}

// onPage gives where a box stands on the page: that of a second surface is its
// mirror image.
func (r *run) onPage(b box) box {
	if web := r.places.Mirrored; web != 0 {
		b.Min.Across, b.Max.Across = web-b.Max.Across, web-b.Min.Across
	}
	return b
}

// seen gives a box of a page as it is read: that of a second surface through the
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

// pixels gives a box in pixels of the page.
func pixels(b box) image.Rectangle {
	const inch = 25_400_000
	px := func(l length) int { return int((l*drawn + inch/2) / inch) }
	return image.Rect(px(b.Min.Across), px(b.Min.Around), px(b.Max.Across), px(b.Max.Around))
}

// cut gives a box of a page, with white around it, as scanners like it.
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
