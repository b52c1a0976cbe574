package press

import (
	"fmt"
	"maps"
	"math"
	"slices"

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

// outer is the pattern around one of the artwork's.
type outer struct {
	matrix artwork.Matrix // from its space, whose axes are the frame's, to that of what names it
	inner  artwork.Matrix // of the artwork's pattern, to this one's space
	box    artwork.Rect   // of its cell
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
		out[turn] = gridOf(p, list, some)
	}
	return out, nil
}

func gridOf(p *artwork.Page, list []wrapping, stands []stand) grid {
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
		o := outer{matrix: back, inner: w.matrix.Then(onFrame), box: nowhere}
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
		g.outer[ref] = o
	}
	return g
}

// nowhere holds nothing.
var nowhere = artwork.Rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}

// around gives the least rectangle over two.
func around(a, b artwork.Rect) artwork.Rect {
	return artwork.Rect{min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3])}
}

// step gives the distance, no less than so much, by which most of the places are
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

// wrap puts the artwork's patterns into their outer ones. What a copier has asked
// about a pattern's reference is answered with those from then on.
func (g grid) wrap(p *artwork.Page, copier *pdfobj.Copier, complete *completer) error {
	wrapped := map[pdfobj.Ref]*pdfobj.Stream{}
	byNumber := func(a, b pdfobj.Ref) int { return a.Num - b.Num }
	for _, ref := range slices.SortedFunc(maps.Keys(g.outer), byNumber) {
		o := g.outer[ref]
		s := p.Doc.Stream(ref)
		if other, ok := complete.replace(ref, s); ok {
			s = other.(*pdfobj.Stream)
		}
		inner := *s
		inner.Dict = with(s.Dict, "Matrix", numbers(o.inner[:]...))
		copied, err := copier.Copy(&inner)
		if err != nil {
			return fmt.Errorf("its tiling pattern, object %d: %w", ref.Num, err)
		}
		wrapped[ref] = pdfobj.NewStream(pdfobj.Dict{
			"Type": pdfobj.Name("Pattern"), "PatternType": pdfobj.Integer(1), "PaintType": pdfobj.Integer(1),
			"TilingType": pdfobj.Integer(2), // no distortion: its step is no whole number of pixels
			"BBox":       numbers(o.box[:]...), "XStep": pdfobj.Real(g.dx), "YStep": pdfobj.Real(g.dy), "Matrix": numbers(o.matrix[:]...),
			"Resources": pdfobj.Dict{"Pattern": pdfobj.Dict{"Inner": pdfobj.Place(copied)}},
		}, []byte("/Pattern cs /Inner scn "+rectangle(o.box.Outset(1))+" re f"))
	}
	complete.wrapped = wrapped
	return nil
}
