package press

import (
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/draw"
	"quoin/impose/pdfobj"
)

// A tiling pattern starts from the space of the form that it is used in
// (ISO 32000-1 8.7.2), which is another one at each station. Readers keep the
// cells of a pattern that they have drawn, and two of three renderers tried,
// MuPDF and Ghostscript, take them for the same object at every other place
// too, so that cells run on from the first station over all others. So an
// artwork with tiling patterns gets a form of its own for stations whose distance
// from the others is no whole number of cells; in each, all is shared but the
// patterns and what leads to them. Where that would be more than a few, the
// patterns are wrapped so that stations share forms: see wrap.go.

// mostCopies is from how many forms on patterns are wrapped. A pattern's cell of
// the label's size costs a RIP more memory than its own small one; so many copies
// of a label's content cost no RIP anything.
const mostCopies = 4

// mostOwnContent is how much content, as stored, the forms of one artwork may
// have together. A label's content with patterns is some tens of kilobytes; more
// than this at all stations would make a file that no RIP thanks for.
const mostOwnContent = 32 << 20

// Cost is what an artwork on a frame costs a RIP.
type Cost struct {
	Forms   int   // different ones that its tiling patterns want; 1 without such
	Wrapped bool  // patterns are wrapped, so that stations share forms
	Content int64 // bytes of the page's content, as stored, in each
	Shared  bool  // all stations share one form though they want more: too much content

	grids map[[4]float64]grid // how patterns are wrapped, by the turn of the stations
}

// Copied returns the bytes of content that stand in the file more than once.
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
		stands := standsOf(f, i, at, trim)
		own := formsFor(stands, cells.agree)
		if own > mostCopies {
			grids, err := grids(p, stands)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", p.Name(), err)
			}
			if n := formsFor(stands, gridsAgree(grids)); grids != nil && n < own {
				own, list[i].Wrapped, list[i].grids = n, true, grids
			}
		}
		list[i].Forms = max(1, own)
		list[i].Shared = int64(own)*list[i].Content > mostOwnContent
	}
	return list, nil
}

// formsFor counts how many forms places need of which those that agree share one.
func formsFor(stands []stand, agree func(m, n matrix) bool) int {
	var own []matrix
	for _, s := range stands {
		if !slices.ContainsFunc(own, func(n matrix) bool { return agree(s.at, n) }) {
			own = append(own, s.at)
		}
	}
	return len(own)
}

// standsOf returns the places of an artwork on a frame, by its place in the list.
func standsOf(f draw.Frame, art int, at page, trim artwork.Rect) (list []stand) {
	add := func(it draw.Place, choke geometry.Length) {
		if it.Art != art {
			return
		}
		clip := it.Clip.Bounds()
		x0, y1 := at.xy(clip.Min)
		x1, y0 := at.xy(clip.Max)
		list = append(list, stand{at.placing(it, trim.Width(), trim.Height()), artwork.Rect{x0, y0, x1, y1}.Outset(choke.Points())})
	}
	for _, item := range f.Items {
		switch it := item.(type) {
		case draw.Place:
			add(it, 0)
		case draw.Cover:
			add(it.Place, it.Choke)
		}
	}
	return list
}

// gridsAgree tells by grids whether places share a form.
func gridsAgree(grids map[[4]float64]grid) func(m, n matrix) bool {
	return func(m, n matrix) bool {
		turn := [4]float64(m[:4])
		g, ok := grids[turn]
		return m == n || ok && turn == [4]float64(n[:4]) && g.stands[m] && g.stands[n] && g.agree(m, n)
	}
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
