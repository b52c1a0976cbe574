package press

import (
	"fmt"
	"slices"

	"quoin/impose/artwork"
	"quoin/impose/draw"
	"quoin/impose/pdfobj"
)

// A tiling pattern starts from the space of the form that it is used in
// (ISO 32000-1 8.7.2), which is another one at each station. Readers keep the
// cells of a pattern that they have drawn, and two of three renderers tried,
// MuPDF and Ghostscript, take them for the same object at every other place
// too, so that cells run on from the first station over all others. So an
// artwork with tiling patterns gets a form of its own at every station whose
// distance from the others is no whole number of cells; in each, all is shared
// but the patterns and what leads to them.

// mostOwnContent is how much content, as stored, the forms of one artwork may
// have together. A label's content with patterns is some tens of kilobytes; more
// than this at all stations would make a file that no RIP thanks for.
const mostOwnContent = 32 << 20

// Cost is what an artwork on a frame costs a RIP.
type Cost struct {
	Forms   int   // different ones that its tiling patterns want; 1 without such
	Content int64 // bytes of the page's content, as stored, in each
	Shared  bool  // all stations share one form though they want more: too much content
}

// Copied gives the bytes of content that stand in the file more than once.
func (c Cost) Copied() int64 {
	if c.Shared {
		return 0
	}
	return int64(c.Forms-1) * c.Content
}

// Costs works out what the artworks of a frame cost, by their place in the list.
func Costs(artworks []*artwork.Page, f draw.Frame) ([]Cost, error) {
	at := page{f.Size.Around}
	list := make([]Cost, len(artworks))
	for i, p := range artworks {
		for _, s := range contents(p) {
			list[i].Content += s.RawLength()
		}
		list[i].Forms = 1
		if !p.Tiling {
			continue
		}
		cells, err := cellsOf(p)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", p.Name(), err)
		}
		trim := p.FormMatrix().Bounds(p.Boxes.Trim)
		var own []matrix
		for _, item := range f.Items {
			if place, ok := item.(draw.Place); ok && place.Art == i {
				m := at.placing(place, trim.Width(), trim.Height())
				if !slices.ContainsFunc(own, func(n matrix) bool { return cells.agree(m, n) }) {
					own = append(own, m)
				}
			}
		}
		list[i].Forms = max(1, len(own))
		list[i].Shared = int64(len(own))*list[i].Content > mostOwnContent
	}
	return list, nil
}

// toTiling tells which objects of an artwork page are tiling patterns or lead
// to one.
func toTiling(p *artwork.Page) (func(pdfobj.Ref) bool, error) {
	return leading(p, func(o pdfobj.Object) bool {
		s, ok := o.(*pdfobj.Stream)
		if !ok {
			return false
		}
		kind, _ := p.Doc.Int(s.Dict["PatternType"])
		return kind == 1
	})
}
