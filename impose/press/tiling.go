package press

import (
	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// A tiling pattern starts from the space of the form that it is used in
// (ISO 32000-1 8.7.2), which is another one at each station. Readers keep the
// cells of a pattern that they have drawn, and two of three renderers tried,
// MuPDF and Ghostscript, take them for the same object at every other place
// too, so that cells run on from the first station over all others. So an
// artwork with tiling patterns gets at every station a form of its own, in
// which all is shared but the patterns and what leads to them.

// mostOwnContent is how much content, as stored, a page may have to be written
// again for each station. A label's content with patterns is some tens of
// kilobytes; a megabyte at a hundred stations would make a file that no RIP
// thanks for.
const mostOwnContent = 1 << 20

// OwnTiling tells whether the page gets a form of its own at each station, for
// the sake of its tiling patterns. A page with patterns and too much content
// for that shares one form, and its patterns may run on in some RIPs.
func OwnTiling(p *artwork.Page) bool {
	size := int64(0)
	for _, s := range contents(p) {
		size += s.RawLength()
	}
	return p.Tiling && size <= mostOwnContent
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
