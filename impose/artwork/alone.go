package artwork

import (
	"fmt"
	"math"

	"quoin/geometry"
	"quoin/impose/say"
)

// smallShape is the lesser side in points up to which a filled shape counts as a
// bar or a letter that is drawn as an outline: 5 mm. What has several parts is
// taken for a barcode or a word.
const smallShape = 5 * 72 / 25.4

// maxAlone bounds the list; a page with more is a picture made of shapes.
const maxAlone = 4096

// noteAlone keeps the box of a path that lies whole within the trim, if it is a
// line or small enough for a bar or a letter: how far it is from the cut matters.
// What reaches the trim is meant to be cut through.
func (p *painter) noteAlone(fill, stroke bool) {
	if p.hidden > 0 || p.masking > 0 || p.repeats || len(p.page.Alone) >= maxAlone {
		return
	}
	box, c := p.path, &p.g.fill
	if stroke {
		box = box.Outset(math.Abs(p.g.width) * p.g.ctm.scale() / 2)
		if !fill {
			c = &p.g.stroke
		}
	}
	box = p.seen(box)
	t := p.page.Boxes.Trim
	if !(box[0] > t[0] && box[1] > t[1] && box[2] < t[2] && box[3] < t[3] && box[0] <= box[2] && box[1] <= box[3]) ||
		fill && p.parts < 2 && min(box.Width(), box.Height())*p.page.UserUnit > smallShape ||
		c.space.family != patternSpace && c.space.isTechnical(p) {
		return
	}
	p.page.Alone = append(p.page.Alone, box)
}

// WantedBleed is how much bleed the job wants; zero where it doesn't say.
func (p *Page) WantedBleed() geometry.Length { return p.File.opt.Bleed }

// Upright returns a box of the page on the label as it is seen upright, from the
// trim's leading left corner.
func (p *Page) Upright(r Rect) geometry.Box {
	b := p.FormMatrix().Bounds(r)
	around := p.uprightHeight()
	return geometry.Box{
		Min: geometry.Position{Across: geometry.FromPoints(b[0]), Around: geometry.FromPoints(around - b[3])},
		Max: geometry.Position{Across: geometry.FromPoints(b[2]), Around: geometry.FromPoints(around - b[1])},
	}
}

// Where says for people where the leading left corner of a box of the page is.
func (p *Page) Where(r Rect) string {
	at := p.Upright(r).Min
	return fmt.Sprintf("at %s mm across, %s mm around", say.Fixed(at.Across.MM(), 1), say.Fixed(at.Around.MM(), 1))
}
