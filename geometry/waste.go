package geometry

// Split says where the area of the net web goes, in percent of it: the four
// add to 100.
type Split struct{ Label, Matrix, Edge, Tail float64 }

// Split gives the layout's split. Edge is all that lies outside the block of
// lanes, matrix what is stripped inside it, tail what the tool can't reach.
// The definitions are common practice, no source.
func (l *Layout) Split() Split {
	all := l.Web.Width.MM() * l.Repeat.MM()
	block := l.Block.Size().Across.MM()
	used := (l.Repeat - l.Tail).MM()
	labels := float64(l.Labels()) * l.Area
	return Split{
		Label:  100 * labels / all,
		Matrix: 100 * (block*used - labels) / all,
		Edge:   100 * (l.Web.Width.MM() - block) * l.Repeat.MM() / all,
		Tail:   100 * block * l.Tail.MM() / all,
	}
}
