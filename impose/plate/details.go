package plate

import (
	"fmt"
	"image"
	"slices"
	"strings"

	"quoin/impose/artwork"
	"quoin/impose/say"
)

// details finds fine things that several inks must meet on: those that are
// painted in several, and those that are left out of several.
type details struct {
	set   *Set
	paper []knockedOut
}

// knockedOut is a fine thing that clears what lies beneath it, and the inks
// that stand around it.
type knockedOut struct {
	artwork.Detail
	around image.Rectangle
	inks   []int // by number, and in that order
}

// surrounds is the tint from which an ink stands around something.
const surrounds = 255 / 10

func newDetails(s *Set) *details {
	d := &details{set: s}
	for _, one := range s.Page.Details {
		if one.Paper {
			d.paper = append(d.paper, knockedOut{Detail: one, around: s.Grid.pixels(s.Page, one.Near).Inset(-2)})
		}
	}
	return d
}

// row looks at one row of the plate of ink number i.
func (d *details) row(ink, y int, line []byte) {
	for i := range d.paper {
		k := &d.paper[i]
		if y < k.around.Min.Y || y >= k.around.Max.Y {
			continue
		}
		at, known := slices.BinarySearch(k.inks, ink)
		if known {
			continue
		}
		for x := max(0, k.around.Min.X); x < min(len(line), k.around.Max.X); x++ {
			if line[x] >= surrounds {
				k.inks = slices.Insert(k.inks, at, ink)
				break
			}
		}
	}
}

// findings says what was found, the first of each kind.
func (d *details) findings() (list []string) {
	seen := map[string]bool{}
	say := func(one artwork.Detail, how string, inks []string) {
		what := fmt.Sprintf("a line of %s pt", say.Rough(one.SizePt, 2))
		if one.Text {
			what = fmt.Sprintf("text of %s pt", say.Rough(one.SizePt, 2))
		}
		key := fmt.Sprint(one.Text, how, inks)
		if seen[key] {
			return
		}
		seen[key] = true
		g := d.set.Grid.pixels(d.set.Page, one.Near)
		at := d.set.Place(g.Min.X, g.Max.Y)
		list = append(list, fmt.Sprintf("%s %s %d inks, %s, at %s mm across, %s mm around: the least error of register blurs it",
			what, how, len(inks), strings.Join(inks, ", "), say.Fixed(at.Across.MM(), 1), say.Fixed(at.Around.MM(), 1)))
	}
	for _, one := range d.set.Page.Details {
		if !one.Paper {
			say(one, "stands in", one.Inks)
		}
	}
	for _, k := range d.paper {
		if len(k.inks) > 1 {
			say(k.Detail, "is left out of", d.set.names(k.inks))
		}
	}
	return list
}
