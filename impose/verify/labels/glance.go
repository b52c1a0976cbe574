package labels

import (
	"image"
	"runtime"

	"golang.org/x/sync/errgroup"

	"quoin/impose/verify/glimpse"
)

// glance reads the symbols of labels from what touches them alone, and returns the
// labels that are for the renderer: any of whose symbols stands by something that
// glimpse doesn't know, has little contrast, or isn't read as it should. So whatever
// is told to be wrong was seen by the renderer.
func (r *run) glance(book *opened, page int, list []entry, values map[int64][]string, out *Report) []entry {
	if book.some == nil {
		return list
	}
	var areas []image.Rectangle
	for _, e := range list {
		r.eachSymbol(e, func(_ field, b box) { areas = append(areas, pixels(r.onPage(b))) })
	}
	places, err := book.some.Draw(page, drawn/72.0, areas)
	if err != nil {
		return list
	}
	seen := make([]glanced, len(list))
	for i, e := range list {
		r.eachSymbol(e, func(f field, b box) {
			seen[i].symbols = append(seen[i].symbols, onLabel{e, f, b})
			seen[i].places = append(seen[i].places, places[0])
			places = places[1:]
		})
	}
	var all errgroup.Group // reading takes longer than all else that a proof does
	all.SetLimit(runtime.GOMAXPROCS(0))
	for i := range seen {
		all.Go(func() error {
			seen[i].good = r.readsAll(&seen[i], values[list[i].record])
			return nil
		})
	}
	all.Wait()
	var rest []entry
	for i, e := range list {
		if !seen[i].good {
			rest = append(rest, e)
			continue
		}
		for _, s := range seen[i].symbols {
			if decoders[s.Symbol.Kind] == nil {
				out.Unread.add(s.Symbol.Kind)
				continue
			}
			out.Symbols++
			out.Glanced++
		}
	}
	return rest
}

// glanced is the symbols of a label with what is seen of each.
type glanced struct {
	symbols []onLabel
	places  []*glimpse.Place
	good    bool
}

// readsAll reports whether all symbols of a label that a decoder knows are seen well
// and read as they should be.
func (r *run) readsAll(g *glanced, values []string) bool {
	for i, s := range g.symbols {
		if decoders[s.Symbol.Kind] == nil {
			continue
		}
		place := g.places[i]
		if !place.Known() || !contrasts(place.Grey) {
			return false
		}
		if x := r.reading(place.Grey, s, values); x.err != nil || !x.same {
			return false
		}
	}
	return true
}

// leastContrast is how far dark and light must lie apart, out of 255, for a symbol to be
// taken as it is seen: a hundred is twice what the greys of mixed inks are wrong by, and
// symbols of less are for the renderer.
const leastContrast = 100

// contrasts reports whether a picture has dark and light that lie far apart, a twentieth of
// its pixels of each.
func contrasts(img *image.Gray) bool {
	var count [256]int
	for _, grey := range img.Pix {
		count[grey]++
	}
	few := len(img.Pix) / 20
	at := func(from, step int) (grey int) {
		for grey, seen := from, 0; ; grey += step {
			if seen += count[grey]; seen > few {
				return grey
			}
		}
	}
	return len(img.Pix) > 0 && at(255, -1)-at(0, 1) >= leastContrast
}

// eachSymbol goes through the symbols of a label that carries a record, with their boxes.
func (r *run) eachSymbol(e entry, see func(f field, b box)) {
	for _, s := range r.places.Symbols {
		if e.record <= 0 || s.Lane != e.lane || s.Row != e.row {
			continue
		}
		for i, f := range r.spec.Fields {
			if f.Symbol != nil {
				see(f, s.Boxes[i])
			}
		}
	}
}
