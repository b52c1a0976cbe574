package press

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// stand is a place where an artwork stands.
type stand struct {
	at   matrix       // see page.placing
	clip artwork.Rect // what of the frame may show it, in points
}

// grid is how the patterns of an artwork are wrapped for the stations of one turn.
type grid struct {
	dx, dy float64         // the outer cells' steps
	stands map[matrix]bool // the places that it is made for
	outer  map[pdfobj.Ref]outer
}

// outer is the pattern in place of one of the artwork's.
type outer struct {
	wrapping
	matrix artwork.Matrix // from its space, whose axes are the frame's, to that of what names it
	inner  artwork.Matrix // of the cells in it
	box    artwork.Rect   // of its own cell

	left, right, bottom, top int // the first and the last of the cells in it, by steps
}

// mostCells is how many small cells a large one may hold. A RIP that doesn't keep
// the large one draws them for each label anew. Judgement of our own, no source.
const mostCells = 10_000

// count finds which cells the large one shows.
func (o *outer) count() bool {
	back, ok := inverse(o.inner)
	if !ok {
		return false
	}
	r := back.Bounds(o.box)
	left, right := math.Floor((r[0]-o.cell[2])/o.dx), math.Ceil((r[2]-o.cell[0])/o.dx)
	bottom, top := math.Floor((r[1]-o.cell[3])/o.dy), math.Ceil((r[3]-o.cell[1])/o.dy)
	if !((right-left+1)*(top-bottom+1) <= mostCells) {
		return false
	}
	o.left, o.right, o.bottom, o.top = int(left), int(right), int(bottom), int(top)
	return true
}

// margin is how far a cell reaches beyond what shows, where there is room: pixels
// that an edge crosses are painted whole (10.6.4), and a proof's may be a point.
const margin = 1.0

// grids works out how an artwork's patterns are wrapped, by the turn of its
// stations; nil where they can't be.
func grids(p *artwork.Page, stands []stand) (map[[4]float64]grid, error) {
	list, err := wrappings(p)
	if err != nil || len(list) == 0 {
		return nil, err
	}
	byTurn := map[[4]float64][]stand{}
	for _, s := range stands {
		turn := [4]float64(s.at[:4])
		byTurn[turn] = append(byTurn[turn], s)
	}
	out := map[[4]float64]grid{}
	for turn, some := range byTurn {
		g, ok := gridOf(p, list, some)
		if !ok {
			return nil, nil
		}
		out[turn] = g
	}
	return out, nil
}

func gridOf(p *artwork.Page, list []wrapping, stands []stand) (grid, bool) {
	g := grid{stands: map[matrix]bool{}, outer: map[pdfobj.Ref]outer{}}
	placed := p.FormMatrix().Then(artwork.Matrix(stands[0].at))
	shown := nowhere
	var xs, ys []float64
	for _, s := range stands {
		g.stands[s.at] = true
		xs, ys = append(xs, s.at[4]), append(ys, s.at[5])
		to := p.FormMatrix().Then(artwork.Matrix(s.at))
		shown = around(shown, artwork.Rect{s.clip[0] - to[4], s.clip[1] - to[5], s.clip[2] - to[4], s.clip[3] - to[5]})
	}
	var width, height float64
	for _, w := range list {
		onFrame := w.base.Then(linear(placed))
		back, _ := inverse(onFrame)
		o := outer{wrapping: w, matrix: back, inner: w.matrix.Then(onFrame), box: nowhere}
		if w.paged {
			o.box = shown
		}
		for _, b := range w.boxes {
			o.box = around(o.box, onFrame.Bounds(b))
		}
		width, height = max(width, o.box.Width()), max(height, o.box.Height())
		g.outer[w.pattern] = o
	}
	g.dx, g.dy = step(xs, width), step(ys, height)
	for ref, o := range g.outer {
		mx, my := min(margin, (g.dx-o.box.Width())/2), min(margin, (g.dy-o.box.Height())/2)
		o.box = artwork.Rect{o.box[0] - mx, o.box[1] - my, o.box[2] + mx, o.box[3] + my}
		if !o.count() {
			return g, false
		}
		g.outer[ref] = o
	}
	return g, true
}

// nowhere holds nothing.
var nowhere = artwork.Rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}

// around returns the least rectangle over two.
func around(a, b artwork.Rect) artwork.Rect {
	return artwork.Rect{min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3])}
}

// step returns the distance, no less than so much, by which most of the places are
// a whole number of steps apart: of the distances that occur, the one that leaves
// the fewest phases, and of those the least.
func step(at []float64, least float64) float64 {
	sorted := slices.Compact(slices.Sorted(slices.Values(at)))
	best, fewest := sorted[len(sorted)-1]-sorted[0]+least+2*margin, len(sorted)
	for _, x := range sorted {
		d := x - sorted[0]
		if d < least-phaseOff || d == 0 {
			continue
		}
		var phases []float64
		for _, y := range sorted {
			if !slices.ContainsFunc(phases, func(z float64) bool { return whole(y-z, d) }) {
				phases = append(phases, y)
			}
		}
		if len(phases) < fewest {
			best, fewest = max(d, least), len(phases)
		}
		if fewest == 1 {
			break
		}
	}
	return best
}

// whole reports whether a distance is a whole number of steps.
func whole(distance, step float64) bool {
	return math.Abs(distance-math.Round(distance/step)*step) < phaseOff
}

// agree reports whether two places of this turn see the same phase of all outer
// patterns.
func (g grid) agree(m, n matrix) bool { return whole(m[4]-n[4], g.dx) && whole(m[5]-n[5], g.dy) }

// wrap puts large patterns in the place of the artwork's. What a copier asks about
// a pattern's reference is answered with those from then on.
func (g grid) wrap(p *artwork.Page, copier *pdfobj.Copier, complete *completer) error {
	wrapped := map[pdfobj.Ref]*pdfobj.Stream{}
	byNumber := func(a, b pdfobj.Ref) int { return cmp.Compare(a.Num, b.Num) }
	for _, ref := range slices.SortedFunc(maps.Keys(g.outer), byNumber) {
		s := p.Doc.Stream(ref)
		if other, ok := complete.replace(ref, s); ok {
			s = other.(*pdfobj.Stream)
		}
		large, err := g.around(s, g.outer[ref], copier)
		if err != nil {
			return fmt.Errorf("its tiling pattern, object %d: %w", ref.Num, err)
		}
		wrapped[ref] = large
	}
	complete.wrapped = wrapped
	return nil
}

// around writes a pattern's cell and a row of them as forms, and gives the large
// pattern that shows rows.
func (g grid) around(s *pdfobj.Stream, o outer, copier *pdfobj.Copier) (*pdfobj.Stream, error) {
	small := *s
	small.Dict = formDict(o.cell[:])
	small.Dict["Resources"] = pdfobj.Dict{}
	for _, key := range []pdfobj.Name{"Resources", "Filter", "DecodeParms"} {
		if v := s.Dict[key]; v != nil {
			small.Dict[key] = v
		}
	}
	cell, err := copier.Copy(&small)
	if err != nil {
		return nil, err
	}
	row := &ops{}
	for i := o.left; i <= o.right; i++ {
		row.shown("Cell", float64(i)*o.dx, 0)
	}
	dict := formDict([]float64{float64(o.left)*o.dx + o.cell[0], o.cell[1], float64(o.right)*o.dx + o.cell[2], o.cell[3]})
	dict["Resources"] = pdfobj.Dict{"XObject": pdfobj.Dict{"Cell": pdfobj.Place(cell)}}
	rowRef, err := copier.Copy(pdfobj.NewStream(dict, row.buf))
	if err != nil {
		return nil, err
	}
	rows := &ops{}
	rows.precise("cm", o.inner[:]...)
	for i := o.bottom; i <= o.top; i++ {
		rows.shown("Row", 0, float64(i)*o.dy)
	}
	return pdfobj.NewStream(pdfobj.Dict{
		"Type": pdfobj.Name("Pattern"), "PatternType": pdfobj.Integer(1), "PaintType": s.Dict["PaintType"],
		"TilingType": pdfobj.Integer(2), // no distortion: its step is no whole number of pixels
		"BBox":       numbers(o.box[:]...), "XStep": pdfobj.Real(g.dx), "YStep": pdfobj.Real(g.dy), "Matrix": numbers(o.matrix[:]...),
		"Resources": pdfobj.Dict{"XObject": pdfobj.Dict{"Row": pdfobj.Place(rowRef)}},
	}, rows.buf), nil
}

// shown paints a form moved to a place.
func (c *ops) shown(name string, x, y float64) {
	c.op("q")
	c.op("cm", 1, 0, 0, 1, x, y)
	c.named(name, "Do")
	c.op("Q")
}

// precise writes an operator with all digits of its numbers: a matrix under which
// many cells stand one behind another.
func (c *ops) precise(operator string, v ...float64) {
	for _, n := range v {
		c.buf = append(strconv.AppendFloat(c.buf, n+0, 'f', -1, 64), ' ')
	}
	c.buf = append(append(c.buf, operator...), '\n')
}
