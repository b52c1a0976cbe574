package artwork

import "slices"

// knockouts are where white ink and the others lie, and whether they clear each
// other: each kind is told of once.
type knockouts struct {
	whites   []Rect
	coloured []Rect
	isolated int // whites painted before the isolated group around

	toldOut, toldOver bool
}

// maxRects bounds the places that are kept; beyond, the last one grows.
const maxRects = 512

func addRect(list []Rect, r Rect) []Rect {
	if n := len(list); n >= maxRects {
		l := list[n-1]
		list[n-1] = Rect{min(l[0], r[0]), min(l[1], r[1]), max(l[2], r[2]), max(l[3], r[3])}
		return list
	}
	return append(list, r)
}

// note finds white ink that something painted later knocks out, and
// white painted on top that knocks out the colours. In the opaque imaging
// model what doesn't overprint clears every other ink beneath (8.6.7); an
// isolated group clears them even so (measured with Ghostscript's tiffsep). What
// keeps the inks beneath overprints, or lies in a group.
func (k *knockouts) note(found *findings, white, other bool, bounds Rect, keeps bool) {
	if !white {
		beneath := k.whites // those that what is painted clears
		if keeps {
			beneath = k.whites[:k.isolated]
		}
		if !k.toldOut && slices.ContainsFunc(beneath, bounds.overlaps) {
			k.toldOut = true
			found.page(WhiteKnockedOut, "white ink is knocked out by artwork painted over it without overprint")
		}
		if other {
			k.coloured = addRect(k.coloured, bounds)
		}
		return
	}
	if !keeps && !other && !k.toldOver && slices.ContainsFunc(k.coloured, bounds.overlaps) {
		k.toldOver = true
		found.page(WhiteKnocksOut, "white ink painted over artwork without overprint clears the colours beneath it")
	}
	k.whites = addRect(k.whites, bounds)
}
