package geometry

import "math"

// Split says where the area of the net web goes, in percent of it: the four
// add to 100.
type Split struct{ Label, Matrix, Edge, Tail float64 }

// Split returns the layout's split. Edge is all that lies outside the block of
// lanes, matrix what is stripped inside it, tail what the tool can't reach.
// The definitions are common practice, no source.
func (l *Layout) Split() Split { return l.extent().split() }

// extent is what areas and runs need to know of a frame, without its stations.
type extent struct {
	web, block   Length // across
	repeat, tail Length
	labels       int
	area         float64 // mm2, of one label
}

func (l *Layout) extent() extent {
	return extent{l.Web.Width, l.Block.Size().Across, l.Repeat, l.Tail, l.Labels(), l.Area}
}

func (x extent) split() Split {
	all := x.web.MM() * x.repeat.MM()
	labels := float64(x.labels) * x.area
	matrix := 100 * (x.block.MM()*(x.repeat-x.tail).MM() - labels) / all
	if math.Abs(matrix) < splitRounding {
		matrix = 0 // labels that tile the block leave none
	}
	return Split{
		Label:  100 * labels / all,
		Matrix: matrix,
		Edge:   100 * (x.web - x.block).MM() * x.repeat.MM() / all,
		Tail:   100 * x.block.MM() * x.tail.MM() / all,
	}
}

// splitRounding is what a split may be off by, in percent: some hundred roundings
// of 2^-53 of the whole.
const splitRounding = 1e-11
