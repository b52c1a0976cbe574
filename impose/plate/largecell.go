package plate

import (
	"math"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// The renderer draws the cell of a tiling pattern once, on whole pixels, and lays it
// at whole pixels. On a small cell that changes the area of what is in it by some per
// cent, and hardly on a large one. So the copy's cell holds many of the pattern's.

const (
	// wideCell is the least width and height in points of a large cell: at 300 to the
	// inch 417 pixels, of which one is 0.24 per cent.
	wideCell = 100
	// mostCells and mostCellBytes bound what a large cell holds.
	mostCells     = 2048
	mostCellBytes = 4 << 20
)

// largeCell is the cells of a tiling pattern (8.7.3) that are drawn as one.
type largeCell struct {
	box        artwork.Rect // BBox of a small one
	x, y       float64      // its steps
	wide, high int          // numbers of cells
}

// newLargeCell returns how a pattern that a page's own content paints with is drawn,
// the content of whose cell is of so many bytes; ok is false where that is too much,
// or the pattern is turned by less than a right angle: then the renderer smooths the
// edges of each cell, and loses some of their ink.
func newLargeCell(page *artwork.Page, p *pattern, bytes int) (c largeCell, ok bool) {
	doc, unit := page.Doc, page.UserUnit
	box, _ := doc.Numbers(p.dict["BBox"])
	c.x, _ = doc.Number(p.dict["XStep"])
	c.y, _ = doc.Number(p.dict["YStep"])
	if len(box) < 4 {
		return c, false
	}
	m := artwork.Matrix{1, 0, 0, 1, 0, 0}
	if v, given := doc.Numbers(p.dict["Matrix"]); given && len(v) >= 6 {
		m = artwork.Matrix(v[:6])
	}
	if (m[1] != 0 || m[2] != 0) && (m[0] != 0 || m[3] != 0) {
		return c, false
	}
	c.x, c.y = math.Abs(c.x), math.Abs(c.y) // either sign makes the same cells
	c.box = artwork.Rect{min(box[0], box[2]), min(box[1], box[3]), max(box[0], box[2]), max(box[1], box[3])}
	wide := math.Ceil(wideCell / (c.x * math.Hypot(m[0], m[1]) * unit))
	high := math.Ceil(wideCell / (c.y * math.Hypot(m[2], m[3]) * unit))
	if n := wide * high; !(n >= 1 && n <= mostCells && n*float64(bytes) <= mostCellBytes) {
		return c, false
	}
	c.wide, c.high = int(wide), int(high)
	return c, true
}

// write writes the content of the large cell, of that of a small one.
func (c largeCell) write(to *output, content []byte) {
	for j := range c.high {
		for i := range c.wide {
			to.write("q ")
			to.numbers([]float64{1, 0, 0, 1, float64(i) * c.x, float64(j) * c.y})
			to.write("cm ")
			to.numbers([]float64{c.box[0], c.box[1], c.box.Width(), c.box.Height()})
			to.write("re W n\n")
			to.write(string(content))
			to.write("Q\n")
		}
	}
}

// describe puts the large cell into the pattern's dictionary.
func (c largeCell) describe(dict pdfobj.Dict) {
	x, y := float64(c.wide)*c.x, float64(c.high)*c.y
	dict["BBox"] = reals([]float64{c.box[0], c.box[1], c.box[2] + x - c.x, c.box[3] + y - c.y})
	dict["XStep"], dict["YStep"] = pdfobj.Real(x), pdfobj.Real(y)
}
