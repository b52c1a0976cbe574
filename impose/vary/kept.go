package vary

import (
	"slices"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/press"
)

// kept is what frames have in common: artworks beneath the data, the rest above,
// so that varnish, white and marks stay whole. Frames whose stations carry the
// same kinds of things share it; nearly all carry a record everywhere.
type kept struct {
	run    *Run
	series *press.Series
	list   map[string]keptPair // by what stands at the stations
}

type keptPair struct{ beneath, above press.Kept }

// of returns what the frames have in common whose stations carry such things.
func (k *kept) of(is []what) (pair keptPair, err error) {
	key := make([]byte, len(is))
	for i, w := range is {
		key[i] = byte(w)
	}
	pair, known := k.list[string(key)]
	if known {
		return pair, nil
	}
	artworks, rest := splitItems(k.run)
	if pair.beneath, err = k.series.Keep(itemsBeneath(k.run, artworks, is)); err != nil {
		return pair, err
	}
	pair.above, err = k.series.Keep(itemsAbove(k.run, rest, is))
	k.list[string(key)] = pair
	return pair, err
}

// splitItems parts the artworks of the frame from the rest.
func splitItems(r *Run) (artworks, rest []draw.Item) {
	n := 0
	for n < len(r.plan.Items) && r.plan.Items[n].On() == draw.Artwork {
		n++
	}
	return r.plan.Items[:n], r.plan.Items[n:]
}

// itemsBeneath returns the artworks of a frame: none where each record names its own, or
// a change-over label stands; and stations that no record is left for carry none
// where they stay blank, and a cross where they are void.
func itemsBeneath(r *Run, artworks []draw.Item, is []what) (list []draw.Item) {
	for _, item := range artworks {
		p, ok := item.(draw.Place)
		if !ok {
			list = append(list, item)
			continue
		}
		at := stationAt(r, p.Trim)
		void := at >= 0 && is[at] == spare && r.plan.Spare == Void
		if r.own == nil && (at < 0 || is[at] == printed || is[at] == spare && r.plan.Spare != Blank) {
			list = append(list, item)
		}
		if void {
			list = append(list, voidItems(r, p.Trim)...)
		}
	}
	return list
}

// itemsAbove returns what is painted over the data: the rest of the frame, with a box of
// white for each symbol on an underprint that has the artwork's shape. Blank
// stations get no white, and change-over labels none of the artwork's shape.
func itemsAbove(r *Run, rest []draw.Item, is []what) (list []draw.Item) {
	blank := func(at int) bool { return is[at] == spare && r.plan.Spare == Blank }
	for _, item := range rest {
		if item.On() == draw.White {
			if at := stationUnder(r, item); at >= 0 {
				_, shaped := item.(draw.Cover)
				if blank(at) || shaped && is[at] == changing {
					continue
				}
			}
		}
		list = append(list, item)
	}
	if len(r.plan.Under) == 0 {
		return list
	}
	paint := draw.Together(r.plan.Under...)
	paint.Overprint = true
	for _, f := range r.fields {
		if f.Symbol == nil {
			continue
		}
		for i := range r.stations {
			if !blank(i) && is[i] != changing {
				list = append(list, draw.Fill{Layer: draw.White, Path: draw.Rectangle(r.stations[i].box(f.box(f.modules))), Paint: paint})
			}
		}
	}
	return list
}

// stationUnder returns the station that an item lies on; -1 for none.
func stationUnder(r *Run, item draw.Item) int {
	var at geometry.Box
	switch it := item.(type) {
	case draw.Cover:
		at = it.Place.Trim
	case draw.Fill:
		at = it.Path.Bounds()
	default:
		return -1
	}
	return stationAt(r, at)
}

// stationAt returns the station in which the middle of a box is; -1 for none.
func stationAt(r *Run, b geometry.Box) int {
	middle := geometry.Position{Across: (b.Min.Across + b.Max.Across) / 2, Around: (b.Min.Around + b.Max.Around) / 2}
	return slices.IndexFunc(r.stations, func(s station) bool {
		return s.Trim.Contains(geometry.Box{Min: middle, Max: middle})
	})
}

// voidItems crosses a label out from corner to corner.
func voidItems(r *Run, b geometry.Box) []draw.Item {
	var p draw.Path
	p.Append(draw.Segment(b.Min, b.Max))
	p.Append(draw.Segment(geometry.Position{Across: b.Min.Across, Around: b.Max.Around}, geometry.Position{Across: b.Max.Across, Around: b.Min.Around}))
	size := b.Size()
	return []draw.Item{draw.Stroke{Layer: draw.Data, Path: p, Width: min(size.Across, size.Around) / 20, Paint: draw.Solid(r.plan.Void)}}
}
