package nest

import (
	"quoin/geometry"
	"quoin/geometry/outline"
)

// keeper tells on the true outlines whether two labels keep the gap.
//
// Where the gaps across and around differ, the smaller is kept in every
// direction as true distance, and the larger along its own axis: a label that is
// moved along that axis by what the larger gap has over the smaller still keeps
// the smaller. So labels side by side are the gap across apart, labels behind
// each other the gap around, and none comes nearer than the smaller aslant.
type keeper struct {
	shape outline.Outline // its box at the origin
	gap   geometry.Size
	plain [4]*outline.Gauge
	swept [4]*outline.Gauge
	asked map[question]bool
}

// question is a move that was asked about; a row is asked about once for every
// period that is tried.
type question struct {
	a, b geometry.Turn
	by   geometry.Size
}

// least gives the smaller gap, and what the larger has over it, along its axis.
func least2(gap geometry.Size) (geometry.Length, geometry.Size) {
	least := min(gap.Across, gap.Around)
	return least, geometry.Size{Across: gap.Across - least, Around: gap.Around - least}
}

const mostAsked = 1 << 16

func (k *keeper) turned(t geometry.Turn) outline.Outline {
	return k.shape.Turned(t).At(geometry.Position{})
}

// gauge gives the label turned, its box at the origin.
func (k *keeper) gauge(t geometry.Turn) *outline.Gauge {
	if k.plain[t] == nil {
		k.plain[t] = outline.NewGauge(k.turned(t))
	}
	return k.plain[t]
}

// keeps reports whether the label at turn b, moved against the one at turn a,
// keeps the gap.
func (k *keeper) keeps(a, b geometry.Turn, by geometry.Size) bool {
	width, height := k.shape.Bounds().Size().Turned(a), k.shape.Bounds().Size().Turned(b)
	size := geometry.Size{Across: max(width.Across, height.Across), Around: max(width.Around, height.Around)}
	if max(by.Across, -by.Across) >= size.Across+k.gap.Across || max(by.Around, -by.Around) >= size.Around+k.gap.Around {
		return true
	}
	least, along := least2(k.gap)
	if k.swept[a] == nil {
		k.swept[a] = k.gauge(a)
		if along != (geometry.Size{}) {
			k.swept[a] = outline.NewGauge(k.sweep(a))
		}
	}
	q := question{a, b, by}
	kept, known := k.asked[q]
	if !known {
		kept = k.swept[a].Keeps(k.gauge(b), by, least)
		if k.asked == nil || len(k.asked) > mostAsked {
			k.asked = map[question]bool{}
		}
		k.asked[q] = kept
	}
	return kept
}

// sweep gives the label swept by what the larger gap has over the smaller. A
// curved outline is flattened for it: its chords lie up to Flatness inside.
func (k *keeper) sweep(t geometry.Turn) outline.Outline {
	_, along := least2(k.gap)
	o := k.turned(t)
	swept := o.Swept(along)
	if !straightSided(o) {
		if grown, err := swept.Outset(outline.Flatness); err == nil {
			return grown
		}
	}
	return swept
}

func straightSided(o outline.Outline) bool {
	for _, c := range o.Contours() {
		for _, s := range c.Segments {
			if s.Curve || s.Bulge != 0 {
				return false
			}
		}
	}
	return true
}
